"""The plan on paper: views of it, and what is drawn in them."""
