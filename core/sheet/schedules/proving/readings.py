"""Volts to expect under a resistor, at each drop and where each track is farthest.

A resistor R across the rails where the wiring has the loop resistance r, and
V0 stands without it, leaves V0·R/(R + r): a meter without a load shows V0 and
hides every bad joint. Trains are off the track; lamps that cannot be taken off
draw what they always draw.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from core.analysis.bands import Band, Spreads, band_at, spreads_of
from core.analysis.breakdown import Point, Response, unit_responses
from core.analysis.examine import study_layout
from core.analysis.probe import find_point
from core.analysis.sound import sound_segments
from core.analysis.study import Study, place_in
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Inline, Load, OnRun, TrackRun
from core.layout.queries import drops_on, rated_amps
from core.sheet.schedules.proving.spots import Spot, Spots

LOADS_OHM = (15.0, 22.0, 33.0, 47.0, 68.0, 100.0, 150.0, 220.0)
"""Resistors to choose from: 15 Ω is needs N76's, the larger ones follow in the E6
series of IEC 60063. [Ω]"""

MOST_SHARE = 0.5
"""Of what the weakest device may carry, so that nothing trips (house choice). [1]"""

RATING = 2.0
"""Watts a resistor is bought for over those it gets, so that it lasts; common
practice, no source. [1]"""

TOGETHER = 32
"""So many places are solved at once: enough to be fast, few enough to stop soon. [1]"""

STEPS = 30
"""Steps to the amps of a resistor beside loads of constant watts."""

NEAR_M = 0.05
"""A farthest place this near to a drop is that drop. [m]"""


@dataclass(frozen=True, slots=True)
class Resistor:
    """The resistor that volts are measured under.

    Attributes
    ----------
    ohm : float
        Its resistance. [Ω]
    volts_v : float
        The highest volts it is put across. [V]
    """

    ohm: float
    volts_v: float

    @property
    def amps_a(self) -> float:
        """What it draws at most. [A]"""
        return self.volts_v / self.ohm

    @property
    def heat_w(self) -> float:
        """What it gives off at most. [W]"""
        return self.volts_v**2 / self.ohm

    @property
    def rating_w(self) -> float:
        """What it should be bought for, in steps of 5 W. [W]"""
        return 5.0 * ceil(RATING * self.heat_w / 5.0 - 1e-9)


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """Volts to expect at one place under the resistor.

    Attributes
    ----------
    spot : Spot
        The place.
    drop : PartId or None
        The drop there; None for the farthest place of a track.
    volts_v, low_v, high_v : float
        Expected, and the band of rail, joints and wire. [V]
    """

    spot: Spot
    drop: PartId | None
    volts_v: float
    low_v: float
    high_v: float


def choose_load(layout: Layout, wanted_ohm: float | None = None) -> Resistor:
    """Return the wanted resistor, or the least that no device minds."""
    volts = max((b.volts_v for b in layout.of_kind(Booster)), default=0.0)
    if wanted_ohm is not None:
        return Resistor(wanted_ohm, volts)
    most = MOST_SHARE * min(_ratings(layout), default=volts)
    fits = (ohm for ohm in LOADS_OHM if volts / ohm <= most + 1e-9)
    return Resistor(next(fits, LOADS_OHM[-1]), volts)


def reading_rows(
    study: Study, load: Resistor, step: Callable[[float], None] = lambda _: None
) -> tuple[ReadingRow, ...]:
    """Return what to expect at each drop and each farthest place, as one walks.

    Tracks that are not fed, or whose booster is shorted, are left out. `step` is told
    the share that is done, place by place; it may raise to stop.
    """
    quiet = without_trains(study)
    spots = Spots(study.layout)
    rows: list[ReadingRow] = []
    places = tuple(_places(quiet))
    expected = _expect_all(quiet, [place for place, _ in places], load.ohm, step)
    for (place, drop), (volts, band) in zip(places, expected, strict=True):
        spot = spots.spot(place.run, place.position_m)
        rows.append(ReadingRow(spot, drop, volts, band.volts_low_v, band.volts_high_v))
    return tuple(sorted(rows, key=lambda r: (r.spot.turn, r.drop or "")))


def without_trains(study: Study) -> Study:
    """Return the study with all trains lifted off the track."""
    trains = {t.id for t in study.layout.of_kind(Load) if t.use == "train"}
    if not trains:
        return study
    kept = {i: part for i, part in study.layout.parts.items() if i not in trains}
    return study_layout(Layout(kept), study.case)


def _ratings(layout: Layout) -> Iterable[float]:
    for booster in layout.of_kind(Booster):
        yield min(booster.rated_a, booster.trip_a)
    for device in layout.of_kind(Inline):
        rated = rated_amps(device)
        yield min(rated, device.trip_a or rated)


def _places(study: Study) -> Iterable[tuple[OnRun, PartId | None]]:
    sound = sound_segments(study)
    t, highest = study.scan.highest_loop()
    for run in study.layout.of_kind(TrackRun):
        drops = drops_on(study.layout, run.id)
        for drop in drops:
            if sound[find_point(study, drop.on).segment]:
                yield drop.on, drop.id
        own = [i for i in study.circuit.on_run.get(run.id, ()) if sound[i]]
        if own:
            i = max(own, key=lambda n: float(highest[n]))
            place = place_in(study.circuit, i, float(t[i]))
            if not _is_near(drops, place.position_m):
                yield place, None


def _is_near(drops: tuple[Drop, ...], position_m: float) -> bool:
    return any(abs(d.on.position_m - position_m) < NEAR_M for d in drops)


def _expect_all(
    study: Study, places: Sequence[OnRun], ohm: float, step: Callable[[float], None]
) -> Iterable[tuple[float, Band]]:
    """Yield the volts at places under a resistor, and their bands. [V]"""
    spreads = spreads_of(study.circuit)
    for start in range(0, len(places), TOGETHER):
        step(start / len(places))
        points = [find_point(study, on) for on in places[start : start + TOGETHER]]
        responses = unit_responses(study, points)
        for point, response in zip(points, responses, strict=True):
            yield _expect(study, point, response, ohm, spreads)


def _expect(
    study: Study, point: Point, response: Response, ohm: float, spreads: Spreads
) -> tuple[float, Band]:
    amps = _resistor_amps(study, point, ohm)
    # The band is that of a train which draws what the resistor draws here.
    loaded = replace(study, scan=replace(study.scan, train_a=amps))
    return amps * ohm, band_at(loaded, point, response, spreads)


def _resistor_amps(study: Study, point: Point, ohm: float) -> float:
    """Return what a resistor draws at a point beside the loads, 0 if it starves one."""
    scan, place = study.scan, (point.segment, point.t)
    loop = scan.loop_at(*place)
    amps = scan.standing_at(*place) / (ohm + loop)
    if scan.hungry is None:
        return amps
    # Loads of constant watts answer: a few steps, each a small share of the last.
    for _ in range(STEPS):
        under = replace(scan, train_a=amps)
        if under.starves_at(*place):
            return 0.0
        amps = (under.volts_at(*place) + amps * loop) / (ohm + loop)
    return amps
