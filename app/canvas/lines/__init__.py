"""Lines in bunches: along runs and buses, by colour, in view only."""
