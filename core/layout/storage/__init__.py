"""Layout files: reading, writing, mending, and the journal of unsaved work."""
