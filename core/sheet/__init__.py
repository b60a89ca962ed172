"""The wiring sheet: marks, pages, PDF, CSV, SPICE deck."""
