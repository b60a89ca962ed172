"""Drawing track: pieces towards the pointer, tangent joins, typed lengths."""
