"""The coin test on paper: what a coin across every length of rail would do.

Common practice has the coin tried at every length of rail, of 3 m or less: each
joint and each gap may be the one that holds the current back. The place named is
the weakest of its length.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, inf

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.holding import Held, hold_short
from core.analysis.ordering import Ints
from core.analysis.probe import races_to_trip
from core.analysis.shares import WHOLE
from core.analysis.short_bands import margin_bands
from core.analysis.shorts import limit_of
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Floats, Racer, Study, place_in
from core.analysis.tripping import SURE
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
        What trips first; where nothing clears it, what should. None where nothing
        stands before the track that trips at all.
    sensed_a : float
        The current as that device senses it. [A]
    margin : float
        The best device's current over its trip current, at the worst stage; 0 without
        one. [1]
    trips : bool
        Whether the short is expected to be cleared.
    plain_a : float or None
        What resistance alone would let through, where inductance is what limits. [A]
    whole_a : float or None
        What the coin draws, where that device senses but a part of it. [A]
    opened : tuple of PartId and float
        What opens one after the other, and how long after the short began. [s]
    band : tuple of float or None
        Least and most margin as rail, joints and wire vary, for the weakest. [1]
    rank : int
        1 for the weakest place of all, 0 for all but the weakest.
    held : Held or None
        How a lamp holds the short, where one does; `margin` is then that of the
        device that its cold current trips, infinite where none does.
    """

    spot: Spot
    device: Clearing | None
    sensed_a: float
    margin: float
    trips: bool
    plain_a: float | None = None
    rank: int = 0
    whole_a: float | None = None
    opened: tuple[tuple[PartId, float], ...] = ()
    held: Held | None = None
    band: tuple[float, float] | None = None


def coin_rows(study: Study) -> tuple[CoinRow, ...]:
    """Return a row for each length of fed rail, in the order one walks.

    Tracks of a booster whose poles are joined are left out: nothing holds there.
    """
    points = tuple(_candidates(study))
    if not points:
        return ()
    index = np.array([p.segment for _, p in points])
    t = np.array([p.t for _, p in points])
    trips = study.trips_at(index, t)
    margin = np.nan_to_num(trips.margin)
    weakest: dict[int, int] = {}
    for i, (stretch, _) in enumerate(points):
        if stretch not in weakest or margin[i] < margin[weakest[stretch]]:
            weakest[stretch] = i
    kept = np.array(list(weakest.values()))
    rows = _rows(study, index[kept], t[kept])
    return _ranked(_with_bands(study, rows, [points[i][1] for i in kept]))


def _with_bands(
    study: Study, rows: list[CoinRow], points: Sequence[Point]
) -> list[CoinRow]:
    """Return the rows, those that will be the weakest with the band of their margin."""
    need = [i for i, row in enumerate(rows) if row.held is None]
    need.sort(key=lambda i: (rows[i].margin, rows[i].spot.turn))
    weak = [i for i in need[:WEAKEST] if rows[i].device is not None]
    found = list(rows)
    bands = margin_bands(study, [points[i] for i in weak])
    for i, band in zip(weak, bands, strict=True):
        found[i] = replace(rows[i], band=band)
    return found


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
    tripping = study.tripping
    parted = set(tripping.parted.tolist()) if tripping is not None else set()
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
                if low > high:
                    continue
                # A short only gets weaker towards there, so nearer is weaker; not
                # so where devices share it and open one after the other.
                t = min(max(float(weakest[i]), low), high)
                for place in {t, low, high} if i in parted else {t}:
                    yield number, Point(i, place)
            number += 1


def _rows(study: Study, segments: Ints, t: Floats) -> list[CoinRow]:
    """Return the rows of some places."""
    spots = Spots(study.layout)
    shorts, trips = study.shorts_at(segments, t), study.trips_at(segments, t)
    found: list[CoinRow] = []
    for i, race in enumerate(races_to_trip(study, segments, t)):
        point = Point(int(segments[i]), float(t[i]))
        place = place_in(study.circuit, point.segment, point.t)
        spot = spots.spot(place.run, place.position_m)
        held = hold_short(study, point, float(shorts.rms_ones[i]), race)
        if held is not None:
            found.append(_held_row(study, spot, held))
            continue
        if trips.by[i] < 0:
            mean = float(shorts.sensed("average")[i])
            found.append(CoinRow(spot, None, mean, 0.0, trips=False))
            continue
        best, margin = study.guards[int(trips.by[i])], float(trips.margin[i])
        opened = tuple(racer for racer in race if racer.opens_s is not None)
        cleared = margin >= SURE
        device, amps = best, margin * best.trip_a
        if cleared:
            device = next(g for g in study.guards if g.part == opened[0].part)
            amps = min(opened[0].sensed_a, device.limit_a or inf)
        whole = float(shorts.sensed(device.sensing)[i])
        plain = study.plain_short_at(point.segment, point.t)
        coil = limit_of(float(shorts.rms_ones[i]), plain) == "inductance"
        found.append(
            CoinRow(
                spot,
                device,
                amps,
                margin,
                trips=cleared,
                plain_a=plain if coil else None,
                whole_a=whole if _is_part(race, device.part, whole) else None,
                opened=tuple((r.part, r.opens_s or 0.0) for r in opened),
            )
        )
    return found


def _held_row(study: Study, spot: Spot, held: Held) -> CoinRow:
    """Return a row where a lamp lights, and perhaps something trips before."""
    first = held.first
    if first is None:
        return CoinRow(spot, None, held.amps_a, inf, trips=False, held=held)
    device = next(guard for guard in study.guards if guard.part == first.part)
    margin = first.sensed_a / first.trip_a
    return CoinRow(spot, device, first.sensed_a, margin, trips=True, held=held)


def _is_part(race: tuple[Racer, ...], part: PartId, whole_a: float) -> bool:
    """Return whether a device senses but a part of a short: others feed it too."""
    sensed = next(racer.sensed_a for racer in race if racer.part == part)
    return sensed < whole_a * (1.0 - WHOLE)


def _ranked(rows: list[CoinRow]) -> tuple[CoinRow, ...]:
    """Return rows as one walks, the weakest numbered."""
    need = [row for row in rows if row.held is None]
    weak = sorted(need, key=lambda r: (r.margin, r.spot.turn))[:WEAKEST]
    rank = {row.spot.turn: i for i, row in enumerate(weak, start=1)}
    walk = sorted(rows, key=lambda r: r.spot.turn)
    return tuple(replace(row, rank=rank.get(row.spot.turn, 0)) for row in walk)
