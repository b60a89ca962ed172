"""Expected against found."""
