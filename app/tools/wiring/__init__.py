"""Drawing wires: buses and drops, and what they may be joined to."""
