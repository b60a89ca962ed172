"""The coin test on paper: what a coin across every length of rail would do.

Common practice has the coin tried at every length of rail, of 3 m or less: each
joint and each gap may be the one that holds the current back. The place named is
the weakest of its length.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.probe import limit_of, race_to_trip
from core.analysis.shorts import Shorts
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study, margins, place_in, trip_chain
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import cuts_on
from core.layout.parts import Gap, TrackRun
from core.layout.queries import joint_positions
from core.sheet.schedules.proving.spots import Spot, Spots

MOST_M = 3.0
"""Longest stretch of rail that one coin speaks for (common practice). [m]"""

CLEAR_M = 0.03
"""A coin lies this far from a joint, on one rail and not on two (house choice). [m]"""

WEAKEST = 10
"""So many of the weakest are numbered; needs N25."""


@dataclass(frozen=True, slots=True)
class CoinRow:
    """What a coin at one place should do.

    Attributes
    ----------
    spot : Spot
        The place.
    device : Clearing or None
        What trips first; where nothing will, what should. None where nothing
        stands before the track that trips at all.
    sensed_a : float
        The current as that device senses it. [A]
    margin : float
        The same over the trip current of the nearest device; 0 without one. [1]
    trips : bool
        Whether anything is expected to trip.
    plain_a : float or None
        What resistance alone would let through, where inductance is what limits. [A]
    rank : int
        1 for the weakest place of all, 0 for all but the weakest.
    """

    spot: Spot
    device: Clearing | None
    sensed_a: float
    margin: float
    trips: bool
    plain_a: float | None = None
    rank: int = 0


def coin_rows(study: Study) -> tuple[CoinRow, ...]:
    """Return a row for each length of fed rail, in the order one walks.

    Tracks of a booster whose poles are joined are left out: nothing holds there.
    """
    points = tuple(_candidates(study))
    if not points:
        return ()
    index = np.array([p.segment for _, p in points])
    t = np.array([p.t for _, p in points])
    shorts = study.shorts_at(index, t)
    clearing = tuple(study.clearing[i] for i in index)
    margin = np.nan_to_num(margins(shorts, clearing))
    weakest: dict[int, int] = {}
    for i, (stretch, _) in enumerate(points):
        if stretch not in weakest or margin[i] < margin[weakest[stretch]]:
            weakest[stretch] = i
    spots = Spots(study.layout)
    rows = [
        _row(study, spots, points[i][1], _one(shorts, i), float(margin[i]))
        for i in weakest.values()
    ]
    return _ranked(rows)


def stretches(layout: Layout, run: TrackRun) -> tuple[tuple[float, float], ...]:
    """Return the lengths of rail of a run, from joint or gap to the next. [m]"""
    gaps = (g.on.position_m for g in layout.of_kind(Gap) if g.on.run == run.id)
    ends = 0.0, run_path(run).length_m
    edges = cuts_on(layout, run.id)
    cuts = sorted({*ends, *joint_positions(run), *gaps, *edges})
    found: list[tuple[float, float]] = []
    for start, end in pairwise(cuts):
        count = max(ceil((end - start) / MOST_M - 1e-9), 1)
        step = (end - start) / count
        found += [(start + i * step, start + (i + 1) * step) for i in range(count)]
    return tuple(found)


def _candidates(study: Study) -> Iterable[tuple[int, Point]]:
    """Yield for each stretch of all track its weakest place in each segment."""
    sound = sound_segments(study)
    weakest = study.weakest_at
    number = 0
    for run in study.layout.of_kind(TrackRun):
        own = [i for i in study.circuit.on_run.get(run.id, ()) if sound[i]]
        for start, end in stretches(study.layout, run):
            clear = min(CLEAR_M, (end - start) / 2.0)
            for i in own:
                segment = study.circuit.segments[i]
                length = segment.end_m - segment.start_m
                low = max((start + clear - segment.start_m) / length, 0.0)
                high = min((end - clear - segment.start_m) / length, 1.0)
                if low <= high:
                    # A short only gets weaker towards there, so nearer is weaker.
                    t = min(max(float(weakest[i]), low), high)
                    yield number, Point(i, t)
            number += 1


def _one(shorts: Shorts, i: int) -> Shorts:
    here = slice(i, i + 1)
    return Shorts(
        rms_ones=shorts.rms_ones[here],
        rms_zeros=shorts.rms_zeros[here],
        mean_ones=shorts.mean_ones[here],
        mean_zeros=shorts.mean_zeros[here],
        peak_ones=shorts.peak_ones[here],
        peak_zeros=shorts.peak_zeros[here],
    )


def _row(
    study: Study, spots: Spots, point: Point, shorts: Shorts, margin: float
) -> CoinRow:
    segment = study.circuit.segments[point.segment]
    place = place_in(study.circuit, point.segment, point.t)
    spot = spots.spot(place.run, place.position_m)
    part = study.feeds.of_pair(segment.left0, segment.right0)
    first = next((r.part for r in race_to_trip(study, point, shorts) if r.trips), None)
    device = _device(study, part, first)
    if device is None:
        plain = float(shorts.sensed("average")[0])
        return CoinRow(spot, None, plain, 0.0, trips=False)
    sensed = float(shorts.sensed(device.sensing)[0])
    amps = device.margin(sensed) * device.trip_a
    plain = study.scan.short_at(point.segment, point.t)
    held = limit_of(float(shorts.sensed("rms")[0]), plain) == "inductance"
    return CoinRow(
        spot,
        device,
        amps,
        margin,
        trips=first is not None,
        plain_a=plain if held else None,
    )


def _device(study: Study, part: PartId | None, first: PartId | None) -> Clearing | None:
    chain = trip_chain(study.layout, study.feeds, part)
    return next((d for d in chain if first in (None, d.part)), None)


def _ranked(rows: list[CoinRow]) -> tuple[CoinRow, ...]:
    """Return rows as one walks, the weakest numbered."""
    weak = sorted(rows, key=lambda r: (r.margin, r.spot.turn))[:WEAKEST]
    rank = {row.spot.turn: i for i, row in enumerate(weak, start=1)}
    walk = sorted(rows, key=lambda r: r.spot.turn)
    return tuple(replace(row, rank=rank.get(row.spot.turn, 0)) for row in walk)
