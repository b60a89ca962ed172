"""A second way to work a layout out, for tests alone.

Both conductors of a pair are alike, so a sound layout is a network of loops: a
single line whose resistances are out and back. It is solved here as a small dense
matrix from a table of resistances typed by hand; nothing of core is used.
"""

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Edge = tuple[str, str, float]
"""Two places and the resistance between them, out and back. [Ω]"""

Spot = tuple[str, float]
"""A place on a track: its name, and how far along it is. [m]"""


def rail_edges(
    spots: Iterable[Spot], joints_m: Iterable[float], *, per_m: float, joint: float
) -> list[Edge]:
    """Return the rails between places on one track, with the joints between them.

    `per_m` and `joint` are out and back. [Ω/m, Ω]
    """
    joints = tuple(joints_m)
    return [
        (a, b, per_m * (q - p) + joint * sum(p < j < q for j in joints))
        for (a, p), (b, q) in pairwise(sorted(spots, key=lambda spot: spot[1]))
    ]


class PairNetwork:
    """A network of pairs, fed at the place called "booster" behind no resistance.

    A pair that is crossed takes A to B and B to A. A and B lie at +v/2 and -v/2 of
    their place, so what runs through it is (v + v')/R instead of (v - v')/R.
    """

    def __init__(self, edges: Iterable[Edge], crossed: Iterable[Edge] = ()) -> None:
        self.edges = edges = tuple(edges)
        crossed = tuple(crossed)
        every = [(*e, -1.0) for e in edges] + [(*e, 1.0) for e in crossed]
        names = sorted({n for a, b, *_ in every for n in (a, b)} - {"booster"})
        self._index = {name: i for i, name in enumerate(names)}
        self._feeds = [(b, ohm) for a, b, ohm in edges if a == "booster"]
        matrix = np.zeros((len(names), len(names)))
        for a, b, ohm, sign in every:
            i, j = self._index.get(a), self._index.get(b)
            if i is not None:
                matrix[i, i] += 1.0 / ohm
            if j is not None:
                matrix[j, j] += 1.0 / ohm
            if i is not None and j is not None:
                matrix[i, j] += sign / ohm
                matrix[j, i] += sign / ohm
        self._inverse: NDArray[np.float64] = np.asarray(
            np.linalg.inv(matrix), np.float64
        )

    def loop_ohm(self, place: str) -> float:
        """Return the loop resistance at a place. [Ω]"""
        return self.shared_ohm(place, place)

    def shared_ohm(self, place: str, other: str) -> float:
        """Return the volts lost at one place for each ampere drawn at another. [Ω]"""
        return float(self._inverse[self._index[place], self._index[other]])

    def booster_amps(self, volts: float) -> float:
        """Return what the booster gives with nothing drawn. [A]

        More than nothing where a crossed pair joins A to B.
        """
        drive = np.zeros(len(self._index))
        for place, ohm in self._feeds:
            drive[self._index[place]] += volts / ohm
        at = self._inverse @ drive
        return sum((volts - float(at[self._index[b]])) / ohm for b, ohm in self._feeds)
