"""The main window and what hangs from its frame."""
