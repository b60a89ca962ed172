"""The lines of a run by colour, put together anew only when colours change."""

import numpy as np
from numpy.typing import NDArray

from app.canvas.colouring import Colours
from app.canvas.lines.chunks import Chunks
from app.canvas.lines.stations import Stations, ends_between, merged_starts


class Ribbon:
    """Lines along a run, batched by colour bin."""

    def __init__(self, stations: Stations) -> None:
        self._stations = stations
        self._points = stations.aside(0.0)
        self._middles = 0.5 * (stations.s_m[1:] + stations.s_m[:-1])
        self.bins: NDArray[np.int64] | None = None
        self._lines: dict[int | None, Chunks] | None = None

    @property
    def lines(self) -> dict[int | None, Chunks]:
        """Lines by bin; all under None where nothing is coloured."""
        if self._lines is None:
            self._lines = self._batch()
        return self._lines

    def colour(self, colours: Colours | None) -> bool:
        """Take new colours; return whether any step changed its bin."""
        bins = None if colours is None else colours.bins_at(self._middles)
        if bins is None or self.bins is None:
            same = bins is self.bins
        else:
            same = bool(np.array_equal(bins, self.bins))
        if not same:
            self.bins, self._lines = bins, None
        return not same

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
