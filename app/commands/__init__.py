"""The command line: thin words around the same core as the window."""
