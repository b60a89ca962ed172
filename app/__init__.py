"""The Feederwright program: the window and the command line."""

VERSION = "0.1.0"
"""The version of the program; pyproject.toml says the same."""
