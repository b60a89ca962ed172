"""Words on the drawing: lettering, labels, and finding free spots for them."""
