"""The rails of a run by their poles: A solid, B dashed, dead dotted, and letters."""

from dataclasses import dataclass, replace

import numpy as np

from app.canvas.lines.chunks import Chunks
from app.canvas.lines.stations import (
    Floats,
    Stations,
    across,
    ends_between,
    merged_starts,
)
from core.analysis.poles import Pole, PoleStretch, RunPoles
from core.layout.parts import Side

DASH_SHARE, DOT_SHARE = 2.0 / 3.0, 0.4
"""How much of a dash's step, and of a dot's, is drawn. [1]"""

DOTS_A_DASH = 3.0
"""Dots that go on the length of one dash. [1]"""


@dataclass(frozen=True, slots=True)
class Lettering:
    """Places along a run that have letters, and those of the two rails there."""

    places: Stations
    left: tuple[Pole | None, ...]
    right: tuple[Pole | None, ...]


def planned_poles(length_m: float, a_rail: Side) -> RunPoles:
    """Return the poles of a run as its drops are meant: one rail A, the other B."""
    a, b = (PoleStretch(0.0, length_m, pole) for pole in ("A", "B"))
    return RunPoles((a,), (b,)) if a_rail == "left" else RunPoles((b,), (a,))


def fitted(poles: RunPoles, length_m: float) -> RunPoles:
    """Return poles that end where the run does: it may have changed since."""
    return RunPoles(_cut(poles.left, length_m), _cut(poles.right, length_m))


Strokes = dict[Pole | None, Chunks]
"""Lines by pole."""


class PoleLines:
    """Lines along both rails of a run, by pole."""

    def __init__(self, stations: Stations, poles: RunPoles) -> None:
        self.poles = poles
        self._stations = stations
        self._kept: dict[tuple[float, float], Strokes] = {}
        self._ticks: dict[tuple[float, float], Chunks | None] = {}
        self._bed: Chunks | None = None
        self._letters: dict[float, Lettering] = {}

    def lines(self, half_mm: float, dash_mm: float) -> Strokes:
        """Return the lines of each pole, so far beside the middle. [mm]"""
        key = (half_mm, dash_mm)
        if key not in self._kept:
            ends: dict[Pole | None, list[Floats]] = {}
            sides = ((self.poles.left, half_mm), (self.poles.right, -half_mm))
            for stretches, offset in sides:
                for stretch in stretches:
                    own = self._along(stretch, offset, dash_mm / 1000.0)
                    ends.setdefault(stretch.pole, []).append(own)
            self._kept[key] = {p: Chunks(np.concatenate(e)) for p, e in ends.items()}
        return self._kept[key]

    def bed(self) -> Chunks:
        """Return lines along the middle, all the way."""
        if self._bed is None:
            ends = (0.0, float(self._stations.s_m[-1]))
            self._bed = Chunks(whole(self._stations, ends, 0.0))
        return self._bed

    def ticks(self, half_mm: float, step_mm: float) -> Chunks | None:
        """Return short lines across the rails where both poles are on one metal.

        Parameters
        ----------
        half_mm : float
            How far the rails are drawn beside the middle. [mm]
        step_mm : float
            From tick to tick; each is half as long. [mm]
        """
        key = (half_mm, step_mm)
        if key not in self._ticks:
            reach = 0.25 * step_mm
            sides = ((self.poles.left, half_mm), (self.poles.right, -half_mm))
            ends = [
                self._crossed(stretch, offset, reach, step_mm / 1000.0)
                for stretches, offset in sides
                for stretch in stretches
                if stretch.shorted
            ]
            self._ticks[key] = Chunks(np.concatenate(ends)) if ends else None
        return self._ticks[key]

    def letters(self, step_m: float, least_m: float) -> Lettering:
        """Return letters at even steps, and on each stretch between them. [m]

        Stretches shorter than `least_m` have no room for any.
        """
        if step_m not in self._letters:
            grid = np.arange(0.5 * step_m, self._stations.s_m[-1], step_m)
            both = (*self.poles.left, *self.poles.right)
            middles = [
                0.5 * (s.start_m + s.end_m)
                for s in both
                if s.end_m - s.start_m >= least_m
                and not ((grid > s.start_m) & (grid < s.end_m)).any()
            ]
            places = np.unique(np.concatenate((grid, np.array(middles, np.float64))))
            self._letters[step_m] = Lettering(
                self._stations.at(places),
                tuple(_pole_at(self.poles.left, s) for s in places.tolist()),
                tuple(_pole_at(self.poles.right, s) for s in places.tolist()),
            )
        return self._letters[step_m]

    def _crossed(
        self, stretch: PoleStretch, offset_mm: float, reach_mm: float, step_m: float
    ) -> Floats:
        first = np.ceil(stretch.start_m / step_m) * step_m
        places = self._stations.at(np.arange(first, stretch.end_m, step_m))
        return across(places, offset_mm + reach_mm, offset_mm - reach_mm)

    def _along(self, stretch: PoleStretch, offset_mm: float, dash_m: float) -> Floats:
        if stretch.pole == "A":
            return whole(self._stations, (stretch.start_m, stretch.end_m), offset_mm)
        pattern = (dash_m, DASH_SHARE)
        if stretch.pole is None:
            pattern = (dash_m / DOTS_A_DASH, DOT_SHARE)
        ends = (stretch.start_m, stretch.end_m)
        return dashes(self._stations, ends, offset_mm, pattern)


def whole(stations: Stations, ends: tuple[float, float], offset_mm: float) -> Floats:
    """Return lines without a break from place to place; on a straight, one. [m, mm]"""
    s, (start, end) = stations.s_m, ends
    inner = s[(s > start) & (s < end)]
    places = np.concatenate(([start], inner, [end]))
    middles = 0.5 * (places[1:] + places[:-1])
    which = np.searchsorted(s, middles, side="right") - 1
    pieces = stations.piece[np.clip(which, 0, len(stations.piece) - 1)]
    return ends_between(stations.at(places).aside(offset_mm), merged_starts(pieces))


def dashes(
    stations: Stations,
    ends: tuple[float, float],
    offset_mm: float,
    pattern: tuple[float, float],
) -> Floats:
    """Return dashes from place to place: their step, and its drawn share. [m, mm, 1]"""
    step, share = pattern
    start, end = ends
    first = np.arange(np.floor(start / step) * step, end, step)
    low, high = np.maximum(first, start), np.minimum(first + share * step, end)
    low, high = low[high > low], high[high > low]
    return np.column_stack(
        (stations.at(low).aside(offset_mm), stations.at(high).aside(offset_mm))
    )


def _pole_at(stretches: tuple[PoleStretch, ...], place_m: float) -> Pole | None:
    for stretch in stretches:
        if place_m <= stretch.end_m:
            return stretch.pole
    return None


def _cut(
    stretches: tuple[PoleStretch, ...], length_m: float
) -> tuple[PoleStretch, ...]:
    kept = [s for s in stretches if s.start_m < length_m]
    if not kept:
        return (PoleStretch(0.0, length_m, None),)
    kept[-1] = replace(kept[-1], end_m=length_m)
    return tuple(kept)
