"""The .fwl file: read, report, write, back up."""
