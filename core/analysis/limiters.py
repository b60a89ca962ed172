"""What each lamp limiter costs in running, and how it takes a short."""

from dataclasses import dataclass

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.holding import Held, hold_short
from core.analysis.lamps import Lamp, find_lamps
from core.analysis.probe import race_to_trip
from core.analysis.sound import sound_segments
from core.analysis.study import Study, place_in
from core.layout.ids import PartId
from core.layout.parts import OnRun

ONE_A = 1.0
"""The load at which every lamp's loss is told, to compare them. [A]"""


@dataclass(frozen=True, slots=True)
class Limiter:
    """A lamp in the feed of some track.

    Attributes
    ----------
    part : PartId
        The lamp.
    rated_v, rated_a : float
        Its rating. [V, A]
    train_a, loss_v : float
        What flows through it with the test train behind it, on top of the loads, and
        the volts that it then takes. [A, V]
    loss_1a_v : float
        The volts that it takes at `ONE_A`. [V]
    held : Held or None
        The strongest short that it holds; None where it holds none.
    place : OnRun or None
        Where that is.
    feeds : bool
        Whether it stands before any track at all.
    """

    part: PartId
    rated_v: float
    rated_a: float
    train_a: float
    loss_v: float
    loss_1a_v: float
    held: Held | None
    place: OnRun | None
    feeds: bool


def find_limiters(study: Study) -> tuple[Limiter, ...]:
    """Return the lamps of a layout that have power, in the circuit's order."""
    lamps = find_lamps(study.layout, study.circuit)
    return tuple(_limiter(study, lamp) for lamp in lamps if _is_live(study, lamp))


def _is_live(study: Study, lamp: Lamp) -> bool:
    return bool(study.system.active[lamp.branch])


def _limiter(study: Study, lamp: Lamp) -> Limiter:
    amps = abs(float(study.standing.amps[lamp.branch])) + study.scan.train_a
    point = _strongest(study, lamp)
    held = place = None
    if point is not None:
        where = np.array([point.segment]), np.array([point.t])
        short = float(study.shorts_at(*where).rms_ones[0])
        held = hold_short(study, point, short, race_to_trip(study, point))
        place = place_in(study.circuit, point.segment, point.t)
    return Limiter(
        part=lamp.part,
        rated_v=lamp.filament.volts_v,
        rated_a=lamp.filament.amps_a,
        train_a=amps,
        loss_v=lamp.filament.loss_at(amps),
        loss_1a_v=lamp.filament.loss_at(ONE_A),
        held=held,
        place=place,
        feeds=_feeds_track(study, lamp),
    )


def _strongest(study: Study, lamp: Lamp) -> Point | None:
    """Return the place of least loop among those whose shorts a lamp holds."""
    sound, scan = sound_segments(study), study.scan
    best: tuple[float, Point] | None = None
    for i in np.flatnonzero(sound).tolist():
        guard = study.clearing[i]
        if guard is None or not guard.holds or guard.part != lamp.part:
            continue
        for t, loop in ((0.0, scan.loop0[i]), (1.0, scan.loop1[i])):
            if best is None or loop < best[0]:
                best = float(loop), Point(i, t)
    return best[1] if best is not None else None


def _feeds_track(study: Study, lamp: Lamp) -> bool:
    feeds = study.feeds
    known = {feeds.of_pair(s.left0, s.right0) for s in study.circuit.segments}
    return any(part and lamp.part in feeds.chain(part) for part in known)
