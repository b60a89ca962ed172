"""What can be typed and picked about each kind of part."""
