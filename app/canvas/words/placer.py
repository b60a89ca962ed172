"""Finds a free spot for every word: clear of track, wires, symbols, other words."""

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF

from app.canvas.look import Look
from app.canvas.words.label import XY, Label

Floats = NDArray[np.float64]

CELL_PX = 4.0
"""The drawing is looked at in squares of this size. [px]"""

LATTICE_PX = 7.0
"""Points of a footprint this close leave no hole that a word slips through. [px]"""

MOST_PX_PER_MM = 1.6
"""Nearer than this things lie far enough apart: the best spots will do. [px/mm]"""

_FREE, _SOFT, _FIRM, _WORD = 0, 1, 2, 3

LAPPING = 4
"""So many squares of another word may be covered: their edges, no letters."""


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
    """Remembers what is covered in an area at one zoom, and places words in it.

    Parameters
    ----------
    look : Look
        Zoom and side.
    area : QRectF
        The part of the plan looked at. [mm]
    """

    def __init__(self, look: Look, area: QRectF) -> None:
        self._look = look
        side = -1.0 if look.underside else 1.0
        self._scale = np.array((side, -1.0)) * look.px_per_mm / CELL_PX
        corners = np.array(((area.left(), area.top()), (area.right(), area.bottom())))
        cells = np.floor(corners * self._scale)
        self._origin = cells.min(axis=0)
        columns, rows = (cells.max(axis=0) - self._origin + 1.0).astype(np.int64)
        self._cells = np.zeros((int(rows), int(columns)), np.uint8)

    @property
    def step_mm(self) -> float:
        """How close together the points of footprints must be. [mm]"""
        return LATTICE_PX * self._look.mm_per_px

    def cover(self, footprint: Footprint) -> None:
        """Take note of what a drawing covers."""
        cells = np.floor(footprint.points * self._scale) - self._origin
        x, y = cells[:, 0].astype(np.int64), cells[:, 1].astype(np.int64)
        rows, columns = self._cells.shape
        inside = (x >= 0) & (x < columns) & (y >= 0) & (y < rows)
        x, y = x[inside], y[inside]
        value = _FIRM if footprint.firm else _SOFT
        self._cells[y, x] = np.maximum(self._cells[y, x], value)

    def place(self, label: Label) -> XY | None:
        """Return the spot of a word; None where it finds none.

        One that must be there covers track and symbols, but no other word: of two
        that lie over each other neither can be read.
        """
        second: XY | None = None
        for spot in label.spots:
            found = int(self._under(label, spot).max(initial=_FREE))
            if found == _FREE:
                second = spot
                break
            if found == _SOFT:
                second = second or spot
        if second is None and label.must:
            legible = [s for s in label.spots if self._hidden(label, s)[0] <= LAPPING]
            # The first of those that hide least of what is there.
            second = min(legible, key=partial(self._hidden, label), default=None)
        if second is not None:
            self._under(label, second)[:] = _WORD
        return second

    def _hidden(self, label: Label, spot: XY) -> tuple[int, int]:
        """Return how many cells of words, and of all that it should not, it hides."""
        under = self._under(label, spot)
        return int(np.count_nonzero(under == _WORD)), int(np.count_nonzero(under > 1))

    def _under(self, label: Label, spot: XY) -> NDArray[np.uint8]:
        """Return the cells under a word at a spot, as a window into all cells."""
        look = self._look
        side = -1.0 if look.underside else 1.0
        width, height = label.size(look)
        x = label.at.x() * side * look.px_per_mm + spot[0]
        y = -label.at.y() * look.px_per_mm + spot[1]
        left, right = _span(x, 0.5 * width, float(self._origin[0]))
        top, bottom = _span(y, 0.5 * height - 2.0, float(self._origin[1]))
        return self._cells[top:bottom, left:right]


def _span(middle: float, half: float, origin: float) -> tuple[int, int]:
    low = int((middle - half) // CELL_PX - origin)
    high = int((middle + half) // CELL_PX - origin) + 1
    return max(low, 0), max(high, 0)


def points_between(a: XY, b: XY, step_mm: float) -> Floats:
    """Return points from one place to another, no further apart than a step."""
    length = float(np.hypot(b[0] - a[0], b[1] - a[1]))
    t = (np.arange(int(length / step_mm) + 2) / (int(length / step_mm) + 1))[:, None]
    start, way = np.array(a), np.array((b[0] - a[0], b[1] - a[1]))
    points: Floats = start + t * way
    return points


NO_FOOTPRINT = Footprint(np.zeros((0, 2)))
"""What covers nothing."""
