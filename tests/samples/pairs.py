"""A second way to work a layout out, for tests alone.

Both conductors of a pair are alike, so a sound layout is a network of loops: a
single line whose resistances are out and back. It is solved here as a small dense
matrix from a table of resistances typed by hand; nothing of core is used.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Edge = tuple[str, str, float]
"""Two places and the resistance between them, out and back. [Ω]"""


class PairNetwork:
    """A network of pairs, fed at the place called "booster" behind no resistance."""

    def __init__(self, edges: Iterable[Edge]) -> None:
        edges = tuple(edges)
        names = sorted({n for a, b, _ in edges for n in (a, b)} - {"booster"})
        self._index = {name: i for i, name in enumerate(names)}
        matrix = np.zeros((len(names), len(names)))
        for a, b, ohm in edges:
            i, j = self._index.get(a), self._index.get(b)
            if i is not None:
                matrix[i, i] += 1.0 / ohm
            if j is not None:
                matrix[j, j] += 1.0 / ohm
            if i is not None and j is not None:
                matrix[i, j] -= 1.0 / ohm
                matrix[j, i] -= 1.0 / ohm
        self._inverse: NDArray[np.float64] = np.linalg.inv(matrix)

    def loop_ohm(self, place: str) -> float:
        """Return the loop resistance at a place. [Ω]"""
        return self.shared_ohm(place, place)

    def shared_ohm(self, place: str, other: str) -> float:
        """Return the volts lost at one place for each ampere drawn at another. [Ω]"""
        return float(self._inverse[self._index[place], self._index[other]])
