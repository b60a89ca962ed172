"""How each kind of part is drawn: own symbols, in plan millimetres."""
