"""Finds a free spot for every word: clear of track, wires, symbols, other words."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.canvas.label import XY, Label
from app.canvas.look import Look

Floats = NDArray[np.float64]

CELL_PX = 4.0
"""The drawing is looked at in squares of this size. [px]"""

MOST_PX_PER_MM = 1.6
"""Nearer than this things lie far enough apart: the best spots will do. [px/mm]"""

_BIAS, _SHIFT = 1 << 20, 21


@dataclass(frozen=True, slots=True)
class Footprint:
    """Points that a drawing covers.

    Attributes
    ----------
    points : float64 array, shape (N, 2)
        Close enough to each other to leave no hole. [mm]
    firm : bool
        Whether words may never cover it; thin leads they may, if they must.
    """

    points: Floats
    firm: bool = True


class Placer:
    """Remembers what is covered at one zoom, and places words between it."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._firm: set[int] = set()
        self._soft: set[int] = set()

    @property
    def step_mm(self) -> float:
        """How close together the points of footprints must be. [mm]"""
        return 0.8 * CELL_PX * self._look.mm_per_px

    def cover(self, footprint: Footprint) -> None:
        """Take note of what a drawing covers."""
        if len(footprint.points):
            side = -1.0 if self._look.underside else 1.0
            scale = np.array((side, -1.0)) * self._look.px_per_mm / CELL_PX
            cells = np.floor(footprint.points * scale).astype(np.int64) + _BIAS
            keys = np.unique((cells[:, 0] << _SHIFT) | cells[:, 1]).tolist()
            (self._firm if footprint.firm else self._soft).update(keys)

    def place(self, label: Label) -> XY | None:
        """Return the spot of a word; None where it finds none and need not be."""
        second: XY | None = None
        for spot in label.spots:
            cells = self._cells(label, spot)
            if not self._firm.isdisjoint(cells):
                continue
            if self._soft.isdisjoint(cells):
                self._firm.update(cells)
                return spot
            second = second or spot
        if second is None and label.must:
            second = label.spots[0]
        if second is not None:
            self._firm.update(self._cells(label, second))
        return second

    def _cells(self, label: Label, spot: XY) -> list[int]:
        look = self._look
        side = -1.0 if look.underside else 1.0
        width, height = label.size(look)
        x = label.at.x() * side * look.px_per_mm + spot[0]
        y = -label.at.y() * look.px_per_mm + spot[1]
        left, right = _span(x, 0.5 * width)
        top, bottom = _span(y, 0.5 * height - 2.0)
        return [
            (i << _SHIFT) | j for i in range(left, right) for j in range(top, bottom)
        ]


def _span(middle: float, half: float) -> tuple[int, int]:
    low, high = (middle - half) // CELL_PX, (middle + half) // CELL_PX
    return int(low) + _BIAS, int(high) + _BIAS + 1


def points_between(a: XY, b: XY, step_mm: float) -> Floats:
    """Return points from one place to another, no further apart than a step."""
    length = float(np.hypot(b[0] - a[0], b[1] - a[1]))
    t = np.linspace(0.0, 1.0, max(int(length / step_mm) + 2, 2))[:, None]
    start, way = np.array(a), np.array((b[0] - a[0], b[1] - a[1]))
    points: Floats = start + t * way
    return points


NO_FOOTPRINT = Footprint(np.zeros((0, 2)))
"""What covers nothing."""
