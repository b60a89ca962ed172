"""Cards that answer a question about the layout once they are opened."""
