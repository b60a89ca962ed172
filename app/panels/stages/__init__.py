"""One panel for each stage of the job."""
