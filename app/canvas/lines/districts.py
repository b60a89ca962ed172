"""The districts along a run: a band for each, patterned in the colour of paper."""

from dataclasses import dataclass

import numpy as np

from app.canvas.lines.chunks import Chunks
from app.canvas.lines.poles import dashes, whole
from app.canvas.lines.stations import Floats, Stations
from app.session.hues import Pattern, pattern_of
from core.analysis.districts import DistrictStretch

BROKEN_SHARE, BARRED_SHARE, DOT_SHARE = 0.28, 0.5, 0.4
"""How much of a step is ground: of a broken band, a barred one, and a dead one. [1]"""


@dataclass(frozen=True, slots=True)
class Band:
    """The lines of one district, and those that its pattern takes out of them.

    `slit` tells that the latter are a narrow line in the middle, not as broad as it.
    """

    base: Chunks
    ground: Chunks | None
    slit: bool


class DistrictLines:
    """Lines along the middle of a run, by district; those of 0 are dotted."""

    def __init__(
        self, stations: Stations, stretches: tuple[DistrictStretch, ...]
    ) -> None:
        self.stretches = stretches
        self._stations = stations
        self._kept: dict[float, dict[int, Band]] = {}

    def whole_lines(self) -> dict[int, Floats]:
        """Return lines without a pattern by district, each of shape (N, 4). [mm]"""
        own: dict[int, list[Floats]] = {}
        for stretch in self.stretches:
            ends = (stretch.start_m, stretch.end_m)
            own.setdefault(stretch.number, []).append(whole(self._stations, ends, 0.0))
        return {number: np.concatenate(lines) for number, lines in own.items()}

    def bands(self, step_mm: float) -> dict[int, Band]:
        """Return the band of each district, its pattern in such steps. [mm]"""
        if step_mm not in self._kept:
            own: dict[int, list[tuple[float, float]]] = {}
            for stretch in self.stretches:
                ends = (stretch.start_m, stretch.end_m)
                own.setdefault(stretch.number, []).append(ends)
            self._kept[step_mm] = {
                number: self._band(number, places, step_mm / 1000.0)
                for number, places in own.items()
            }
        return self._kept[step_mm]

    def _band(
        self, number: int, places: list[tuple[float, float]], step_m: float
    ) -> Band:
        if number == 0:
            dots = (0.4 * step_m, DOT_SHARE)
            base = [dashes(self._stations, ends, 0.0, dots) for ends in places]
            return Band(Chunks(np.concatenate(base)), None, slit=False)
        base = [whole(self._stations, ends, 0.0) for ends in places]
        pattern = pattern_of(number)
        ground = [
            lines
            for ends in places
            if (lines := self._ground(pattern, ends, step_m)) is not None
        ]
        return Band(
            Chunks(np.concatenate(base)),
            Chunks(np.concatenate(ground)) if ground else None,
            slit=pattern != "broken",
        )

    def _ground(
        self, pattern: Pattern, ends: tuple[float, float], step_m: float
    ) -> Floats | None:
        match pattern:
            case "whole":
                return None
            case "split":
                return whole(self._stations, ends, 0.0)
            case "broken":
                return dashes(self._stations, ends, 0.0, (step_m, BROKEN_SHARE))
            case "barred":
                return dashes(self._stations, ends, 0.0, (step_m, BARRED_SHARE))


def clipped(
    stretches: tuple[DistrictStretch, ...], length_m: float
) -> tuple[DistrictStretch, ...]:
    """Return stretches that end where the run does: it may have changed since."""
    kept = [s for s in stretches if s.start_m < length_m]
    if not kept:
        return (DistrictStretch(0.0, length_m, 0),)
    last = kept[-1]
    return (*kept[:-1], DistrictStretch(last.start_m, length_m, last.number))
