"""What a part may be, whether typed by a person or read from a file."""
