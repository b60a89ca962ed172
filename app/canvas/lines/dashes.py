"""Dashes along a polyline, their phase its own, whatever is painted of it."""

import numpy as np
from PySide6.QtCore import QLineF, QRectF

from app.canvas.lines.chunks import BUNCH, Bunched, Floats, boxes_of, lines_of

Pattern = tuple[float, float]
"""How long a dash is, and the space after it. [mm]"""


class Dashes(Bunched):
    """Dashes in bunches; only those in view are ever made.

    Parameters
    ----------
    points : float64 array, shape (N, 2)
        Corners of the polyline. [mm]
    """

    def __init__(self, points: Floats, pattern: Pattern) -> None:
        dash, space = pattern
        self._dash_mm, self._step_mm = dash, dash + space
        legs = np.hypot(*np.diff(points, axis=0).T)
        self._points = points
        self._s_mm = np.concatenate(([0.0], np.cumsum(legs)))
        self._long_mm = float(self._s_mm[-1])
        count = max(int(np.ceil(self._long_mm / (BUNCH * self._step_mm))), 1)
        self._begins: Floats = np.arange(count + 1.0) * (BUNCH * self._step_mm)
        self._begins[-1] = self._long_mm
        self._boxes = self._bunch_boxes()
        self._lines: dict[int, list[QLineF]] = {}

    @property
    def bunches(self) -> int:
        """How many bunches there are."""
        return len(self._boxes)

    def ends(self, index: int) -> Floats:
        """Return the lines of one bunch; a dash round a corner is two of them.

        Rows of x0, y0, x1, y1, shape (N, 4). [mm]
        """
        low, high = float(self._begins[index]), float(self._begins[index + 1])
        starts = np.arange(index * BUNCH, (index + 1) * BUNCH) * self._step_mm
        s = self._s_mm
        corners = s[(s > low) & (s < high)]
        breaks = np.concatenate((starts, starts + self._dash_mm, corners, [high]))
        breaks = np.unique(breaks[(breaks >= low) & (breaks <= high)])
        middles = 0.5 * (breaks[1:] + breaks[:-1])
        drawn = np.flatnonzero(middles % self._step_mm < self._dash_mm)
        points = self._at(breaks)
        return np.column_stack((points[drawn], points[drawn + 1]))

    def _bunch(self, index: int) -> list[QLineF]:
        lines = self._lines.get(index)
        if lines is None:
            lines = self._lines[index] = lines_of(self.ends(index))
        return lines

    def _bunch_boxes(self) -> list[QRectF]:
        s: Floats = np.union1d(self._begins, self._s_mm)
        points = self._at(s)
        first = np.searchsorted(s, self._begins[:-1])
        low, high = (
            np.minimum.reduceat(points, first),
            np.maximum.reduceat(points, first),
        )
        # A bunch ends where the next begins.
        ends = self._at(self._begins[1:])
        return boxes_of(np.minimum(low, ends), np.maximum(high, ends))

    def _at(self, s_mm: Floats) -> Floats:
        x, y = self._points[:, 0], self._points[:, 1]
        return np.column_stack(
            (np.interp(s_mm, self._s_mm, x), np.interp(s_mm, self._s_mm, y))
        )
