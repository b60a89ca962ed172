"""What the person drew: parts, geometry, changes."""
