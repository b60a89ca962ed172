"""The Feederwright program: the window and the command line."""
