"""What electricity sees: the circuit of a layout."""
