"""Many paths as one array of short lines, to find the nearest quickly."""

from collections.abc import Callable, Iterable, Iterator
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from core.layout.geometry import Nearest, Path
from core.layout.ids import PartId
from core.layout.parts import Bus, TrackRun

L = TypeVar("L", TrackRun, Bus)
Floats = NDArray[np.float64]


class Lines(Generic[L]):
    """The paths of runs or of buses.

    The short lines only tell which paths come near; the exact place is then
    asked of the path itself.
    """

    def __init__(self, path_of: Callable[[L], Path]) -> None:
        self._path_of: Callable[[L], Path] = path_of
        self._parts: dict[PartId, L] = {}
        self._points: dict[PartId, Floats] = {}
        self._order: tuple[PartId, ...] = ()
        self._starts: Floats = np.zeros((0, 2))
        self._ways: Floats = np.zeros((0, 2))
        self._firsts: NDArray[np.int64] = np.zeros(0, np.int64)

    def refresh(self, parts: Iterable[L]) -> None:
        """Take over what has changed."""
        old, self._parts = self._parts, {part.id: part for part in parts}
        points: dict[PartId, Floats] = {}
        for part_id, part in self._parts.items():
            same = old.get(part_id) is part
            points[part_id] = (
                self._points[part_id] if same else self._path_of(part).line()
            )
        self._points = points
        self._order = tuple(points)
        pieces: list[Floats] = list(points.values())
        self._starts = np.concatenate([p[:-1] for p in pieces] or [np.zeros((0, 2))])
        self._ways = np.concatenate(
            [np.diff(p, axis=0) for p in pieces] or [np.zeros((0, 2))]
        )
        counts = np.array([0, *(len(p) - 1 for p in pieces)], np.int64)
        self._firsts = np.cumsum(counts)[:-1]

    def near(
        self, x_mm: float, y_mm: float, reach_mm: float, skip: frozenset[PartId]
    ) -> tuple[L, Nearest] | None:
        """Return the path nearest to a point and the place on it, if in reach."""
        return next(self.in_reach(x_mm, y_mm, reach_mm, skip), None)

    def in_reach(
        self, x_mm: float, y_mm: float, reach_mm: float, skip: frozenset[PartId]
    ) -> Iterator[tuple[L, Nearest]]:
        """Yield the paths in reach of a point, about nearest first."""
        if not self._order:
            return
        best = np.minimum.reduceat(self._distances(x_mm, y_mm), self._firsts)
        for i in np.argsort(best, kind="stable"):
            if best[i] > reach_mm:
                return
            part = self._parts[self._order[i]]
            if part.id not in skip:
                yield part, self._path_of(part).nearest(x_mm, y_mm)

    def _distances(self, x_mm: float, y_mm: float) -> Floats:
        fx, fy = x_mm - self._starts[:, 0], y_mm - self._starts[:, 1]
        wx, wy = self._ways[:, 0], self._ways[:, 1]
        square = np.maximum(wx * wx + wy * wy, 1e-12)
        t = np.clip((fx * wx + fy * wy) / square, 0.0, 1.0)
        distance: Floats = np.hypot(fx - t * wx, fy - t * wy)
        return distance
