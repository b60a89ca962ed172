"""The pages of the sheet, one kind a file."""
