"""The pages on the track itself: gaps and turnouts."""
