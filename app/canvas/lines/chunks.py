"""Many short lines in bunches, so that only those in view are painted."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QPainter

Floats = NDArray[np.float64]

BUNCH = 32
"""Lines in a bunch: about as many as are painted in the time of finding out."""


class Bunched:
    """Lines in bunches, each with its box; only those in view are ever made."""

    _boxes: list[QRectF]

    def draw(self, painter: QPainter, exposed: QRectF, reach_mm: float) -> int:
        """Draw the bunches in view with the painter's pen; return how many lines.

        Parameters
        ----------
        reach_mm : float
            How far the pen reaches from a line's middle. [mm]
        """
        seen = exposed.adjusted(-reach_mm, -reach_mm, reach_mm, reach_mm)
        count = 0
        for i, box in enumerate(self._boxes):
            if seen.intersects(box):
                lines = self._bunch(i)
                painter.drawLines(lines)
                count += len(lines)
        return count

    def _bunch(self, index: int) -> list[QLineF]:
        """Return the lines of one bunch."""
        raise NotImplementedError


class Chunks(Bunched):
    """Lines in order along something, bunch by bunch, each with its box.

    Parameters
    ----------
    ends : float64 array, shape (N, 4)
        x0, y0, x1, y1 of each line. [mm]
    """

    def __init__(self, ends: Floats) -> None:
        self.ends = ends
        self._ends = [ends[i : i + BUNCH] for i in range(0, len(ends), BUNCH)]
        self._boxes = _boxes(ends)
        self._box = _around(self._boxes)
        self._lines: list[list[QLineF] | None] = [None] * len(self._ends)

    def is_seen(self, seen: QRectF) -> bool:
        """Return whether any of it may be seen in an area. [mm]"""
        return seen.intersects(self._box)

    def prepare(self) -> Iterator[None]:
        """Make all lines ready, bunch by bunch."""
        for i in range(len(self._ends)):
            self._bunch(i)
            yield

    def _bunch(self, index: int) -> list[QLineF]:
        lines = self._lines[index]
        if lines is None:
            lines = self._lines[index] = lines_of(self._ends[index])
        return lines


def lines_of(ends: Floats) -> list[QLineF]:
    """Return lines as Qt takes them, from rows of x0, y0, x1, y1. [mm]"""
    return [QLineF(*row) for row in ends.tolist()]


def boxes_of(low: Floats, high: Floats) -> list[QRectF]:
    """Return the boxes between corners, both of shape (N, 2). [mm]"""
    # A level or upright line has no area; Qt finds nothing that meets such a box.
    low, size = low - 1e-3, high - low + 2e-3
    return [QRectF(*row) for row in np.column_stack((low, size)).tolist()]


def _around(boxes: list[QRectF]) -> QRectF:
    around = QRectF()
    for box in boxes:
        around |= box
    return around


def _boxes(ends: Floats) -> list[QRectF]:
    if not len(ends):
        return []
    first = np.arange(0, len(ends), BUNCH)
    low = np.minimum.reduceat(np.minimum(ends[:, :2], ends[:, 2:]), first)
    high = np.maximum.reduceat(np.maximum(ends[:, :2], ends[:, 2:]), first)
    return boxes_of(low, high)
