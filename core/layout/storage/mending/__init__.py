"""Mending what a file says: ids, references, names of materials, sizes."""
