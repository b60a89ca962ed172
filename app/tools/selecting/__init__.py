"""The selecting hand: click, box, move, pull a handle, nudge, delete."""
