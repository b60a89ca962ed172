"""Things placed by a click or one drag: devices, trains, gaps, boards."""
