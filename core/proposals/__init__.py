"""What to change: builders of remedies."""
