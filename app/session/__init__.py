"""One open layout: undo, file, study in the background."""
