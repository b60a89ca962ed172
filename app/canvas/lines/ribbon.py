"""The lines of a run by colour, put together anew only when colours change."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF

from app.canvas.colouring import Colours
from app.canvas.lines.chunks import Chunks
from app.canvas.lines.stations import (
    Floats,
    Stations,
    ends_between,
    merged_starts,
)

STRETCH = 32
"""Steps of a stretch. [1]"""

MOST_STRETCHES = 8
"""More stretches than this are painted again as one area."""


class Ribbon:
    """Lines along a run, batched by colour bin."""

    def __init__(self, stations: Stations) -> None:
        self._stations = stations
        self._points = stations.aside(0.0)
        self._middles = 0.5 * (stations.s_m[1:] + stations.s_m[:-1])
        self.bins: NDArray[np.int64] | None = None
        self._lines: dict[int | None, Chunks] | None = None
        self._box: QRectF | None = None

    @property
    def lines(self) -> dict[int | None, Chunks]:
        """Lines by bin; all under None where nothing is coloured."""
        if self._lines is None:
            self._lines = self._batch()
        return self._lines

    def areas(self) -> list[QRectF]:
        """Return boxes around stretches of it. [mm]"""
        starts = range(0, len(self._middles), STRETCH)
        return [_box(self._points[i : i + STRETCH + 1]) for i in starts]

    def colour(self, colours: Colours | None) -> list[QRectF]:
        """Take new colours; return boxes round the stretches where they differ. [mm]"""
        bins = None if colours is None else colours.bins_at(self._middles)
        if bins is None and self.bins is None:
            return []
        if bins is None or self.bins is None:
            self.bins, self._lines = bins, None
            return [self._whole()]
        steps = np.flatnonzero(bins != self.bins)
        if not len(steps):
            return []
        self.bins, self._lines = bins, None
        stretches = np.split(steps, np.flatnonzero(np.diff(steps) > 1) + 1)
        if len(stretches) > MOST_STRETCHES:
            stretches = [steps]
        return [_box(self._points[np.append(s, s[-1] + 1)]) for s in stretches]

    def _whole(self) -> QRectF:
        if self._box is None:
            self._box = _box(self._points)
        return self._box

    def _batch(self) -> dict[int | None, Chunks]:
        piece = self._stations.piece
        if self.bins is None:
            return {None: Chunks(ends_between(self._points, merged_starts(piece)))}
        starts = merged_starts(piece, self.bins)
        ends, numbers = ends_between(self._points, starts), self.bins[starts]
        return {
            number: Chunks(ends[numbers == number])
            for number in np.unique(numbers).tolist()
        }


def _box(points: Floats) -> QRectF:
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return QRectF(x0, y0, x1 - x0, y1 - y0)
