"""Many short lines in bunches, so that only those in view are painted."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QPainter

Floats = NDArray[np.float64]

BUNCH = 96
"""Lines in a bunch: about as many as are painted in the time of finding out."""


class Chunks:
    """Lines in order along something, bunch by bunch, each with its box.

    Parameters
    ----------
    ends : float64 array, shape (N, 4)
        x0, y0, x1, y1 of each line. [mm]
    """

    def __init__(self, ends: Floats) -> None:
        self._ends = [ends[i : i + BUNCH] for i in range(0, len(ends), BUNCH)]
        self._boxes = [_box(bunch) for bunch in self._ends]
        self._lines: list[list[QLineF] | None] = [None] * len(self._ends)

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
        lines = self._lines[index]
        if lines is None:
            lines = [QLineF(*row) for row in self._ends[index].tolist()]
            self._lines[index] = lines
        return lines


def _box(ends: Floats) -> QRectF:
    x, y = ends[:, 0::2], ends[:, 1::2]
    x0, y0 = float(x.min()), float(y.min())
    # A level or upright line has no area; Qt finds nothing that meets such a box.
    return QRectF(x0, y0, float(x.max()) - x0, float(y.max()) - y0).adjusted(
        -1e-3, -1e-3, 1e-3, 1e-3
    )
