"""The weakest places of all track, for the coin test and the margin list."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf, nan
from typing import Literal

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.short_bands import margin_bands
from core.analysis.shorts import limit_of
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study, place_in
from core.layout.parts import OnRun

APART_M = 0.5
"""Closer to a weaker place than this is the same place to a builder. [m]"""


@dataclass(frozen=True, slots=True)
class WeakShort:
    """A place where a short is hardly cleared.

    Attributes
    ----------
    place : OnRun
        Where.
    by : Clearing
        The device that clears it best, at the worst stage where several share it.
    margin, sensed_a : float
        The current as that device senses it, over its trip current and in
        amperes. [1, A]
    plain_a, plain_margin : float
        What resistance alone would let through, and the margin that it would leave.
        [A, 1]
    limited_by : "resistance" or "inductance"
        What holds the current down.
    margin_low, margin_high : float
        The band of the margin. [1]
    point : Point
        The place as a study has it.
    """

    place: OnRun
    by: Clearing
    margin: float
    sensed_a: float
    plain_a: float
    plain_margin: float
    limited_by: Literal["resistance", "inductance"]
    point: Point
    margin_low: float = nan
    margin_high: float = nan


def weakest_shorts(
    study: Study, count: int = 10, apart_m: float = APART_M
) -> tuple[WeakShort, ...]:
    """Return the weakest shorts, weakest first, none close to a weaker one on its run.

    One place a segment at most, where the true short is weakest; places that nothing
    would clear are left out (their rule names them), and so is shorted track.
    """
    kept: list[WeakShort] = []
    for i, place in _ranked(study):
        if len(kept) == count:
            break
        if all(_apart(place, other.place) >= apart_m for other in kept):
            kept.append(_weak_short(study, i, place))
    return _with_bands(study, kept)


def _with_bands(study: Study, kept: list[WeakShort]) -> tuple[WeakShort, ...]:
    """Return the same with their bands, all worked out together."""
    bands = margin_bands(study, [weak.point for weak in kept])
    return tuple(
        replace(weak, margin_low=low, margin_high=high)
        for weak, (low, high) in zip(kept, bands, strict=True)
    )


def _ranked(study: Study) -> Iterator[tuple[int, OnRun]]:
    """Yield each segment that something clears and its weakest place."""
    values = study.weakest_trips.margin
    places = study.weakest_at
    usable = np.flatnonzero(sound_segments(study) & np.isfinite(values))
    for i in usable[np.argsort(values[usable], kind="stable")].tolist():
        yield i, place_in(study.circuit, i, float(places[i]))


def _weak_short(study: Study, i: int, place: OnRun) -> WeakShort:
    trips, shorts = study.weakest_trips, study.weakest
    assert shorts is not None, "what is fed has shorts"
    by, margin = study.guards[int(trips.by[i])], float(trips.margin[i])
    t = float(study.weakest_at[i])
    plain = study.plain_short_at(i, t)
    alone = study.trips_at(np.array([i]), np.array([t]), plain=True).margin
    limited_by = limit_of(float(shorts.sensed("rms")[i]), plain)
    sensed = margin * by.trip_a
    return WeakShort(
        place, by, margin, sensed, plain, float(alone[0]), limited_by, Point(i, t)
    )


def _apart(one: OnRun, other: OnRun) -> float:
    """Return how far two places lie apart along a run, ∞ on different runs. [m]"""
    return abs(one.position_m - other.position_m) if one.run == other.run else inf
