"""Disjoint sets: what is joined to what, by number."""


class Sets:
    """Union-find over 0..n-1."""

    def __init__(self, size: int) -> None:
        self._parent = list(range(size))

    def find(self, item: int) -> int:
        """Return the number that stands for everything joined to an item."""
        parent = self._parent
        while parent[item] != item:
            parent[item] = parent[parent[item]]
            item = parent[item]
        return item

    def join(self, a: int, b: int) -> None:
        """Join two items and all that is joined to them."""
        self._parent[self.find(a)] = self.find(b)
