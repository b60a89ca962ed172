"""The tables of materials, each row with its source, and their reader."""
