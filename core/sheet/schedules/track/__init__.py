"""What is done to the track itself: gaps, and turnouts as they are wired."""
