"""Ask one point of track: its volts, loop, short current, and why."""

from dataclasses import replace
from math import inf

import numpy as np

from core.analysis.anew import study_at
from core.analysis.bands import band_at
from core.analysis.beyond import beyond_flows, say_beyond
from core.analysis.breakdown import (
    Point,
    Response,
    amps_with_train,
    break_down,
    unit_response,
)
from core.analysis.flows import device_flows, drop_flows
from core.analysis.holding import (
    Held,
    cold_shorts,
    hold_short,
    lazy_beside,
    trips_on_surge,
)
from core.analysis.loads import Starved, starved_by
from core.analysis.ordering import Ints
from core.analysis.remedy import find_remedy
from core.analysis.shares import WHOLE
from core.analysis.short_bands import margin_bands, short_bands
from core.analysis.shorts import limit_of
from core.analysis.sound import say_short
from core.analysis.study import (
    Beyond,
    Clearing,
    Floats,
    Probe,
    Racer,
    Study,
    Verdict,
)
from core.analysis.tripping import SURE, Stage
from core.errors import UnknownNameError
from core.layout.ids import PartId
from core.layout.parts import Limits, OnRun, TrackRun
from core.layout.queries import run_name
from core.units.figures import show_amps, show_share, show_volts, show_watts

_Sure = tuple[float | None, float | None, float | None, float | None]
"""Least and most of a short current and of its margin. [A, 1]"""


def probe_place(study: Study, place: OnRun) -> Probe:
    """Return what a point of track gets, with the test train there.

    Raises
    ------
    UnknownNameError
        There is no such run in the layout.
    """
    run = study.layout.need(place.run, TrackRun)
    point = find_point(study, place)
    track = run_name(study.layout, run.id)
    if not study.scan.fed[point.segment]:
        return _dead(study, point, place, track)
    study = study_at(study, point)
    scan = study.scan
    response = unit_response(study, point)
    source = scan.source_at(point.segment, point.t)
    volts = scan.volts_at(point.segment, point.t)
    loop = scan.loop_at(point.segment, point.t)
    where = np.array([point.segment]), np.array([point.t])
    driven = scan.driven_at(point.segment, point.t)
    met = scan.short_loop_at(point.segment, point.t)
    shorts = study.shorts_at(*where)
    by, margin = _cleared(study, where)
    plain = study.plain_short_at(point.segment, point.t)
    race = race_to_trip(study, point)
    held = hold_short(study, point, float(shorts.rms_ones[0]), race)
    band = band_at(study, point, response)
    starves = starved_at(study, point)
    limits = study.layout.settings.limits
    share = (source - volts) / source
    drop_verdict = judge_drop(share, volts, limits)
    short_verdict = judge_short(margin, limits) if held is None else held.verdict
    shorted = shorted_booster(study, point)
    if shorted is not None:
        drop_verdict = short_verdict = "poor"
    sure: _Sure = (None, None, None, None)
    if held is None:
        sure = _short_band(study, point, by, float(shorts.rms_ones[0]))
    devices = device_flows(study, point, response)
    beyond = () if shorted else beyond_flows(study.layout, devices)
    if starves or any(one.stops for one in beyond):
        drop_verdict = "poor"
    return Probe(
        run=run.id,
        track=track,
        position_m=place.position_m,
        fed=True,
        volts_v=volts,
        standing_v=scan.standing_at(point.segment, point.t),
        source_v=source,
        test_train_a=scan.train_a,
        loop_ohm=loop,
        loop_henry=loop_henry(study, point, response.amps),
        short_dc_a=plain,
        short_rms_ones_a=float(shorts.rms_ones[0]),
        short_rms_zeros_a=float(shorts.rms_zeros[0]),
        short_mean_ones_a=float(shorts.mean_ones[0]),
        short_mean_zeros_a=float(shorts.mean_zeros[0]),
        short_peak_a=float(max(shorts.peak_ones[0], shorts.peak_zeros[0])),
        drop_share=share,
        breakdown=() if starves else break_down(study, point, response),
        cleared_by=by.part if by else None,
        trip_a=by.trip_a if by else None,
        margin=margin,
        drop_verdict=drop_verdict,
        short_verdict=short_verdict,
        sentence=_sentence(
            _first((volts, share), starves, beyond, scan.train_a),
            by,
            margin,
            float(shorts.sensed(by.sensing)[0]) if by else 0.0,
            held,
            race,
        )
        if shorted is None
        else f"{say_short(study, shorted)}: cure that first. Figures here "
        "are those of the short.",
        shorted_by=shorted,
        volts_low_v=band.volts_low_v,
        volts_high_v=band.volts_high_v,
        loop_low_ohm=band.loop_low_ohm,
        loop_high_ohm=band.loop_high_ohm,
        race=race,
        limited_by=limit_of(float(shorts.sensed("rms")[0]), plain),
        helps="" if held else find_remedy(study, point, response).words,
        lazy_w=lazy_watts(driven, met, float(study.least_to_trip(*where)[0]))
        if by
        else lazy_beside(study.lamps[point.segment], driven, met),
        notch_s=notch(study, point, response, source),
        drops=drop_flows(study, point, response),
        devices=devices,
        starves=starves,
        beyond=beyond,
        held_by=held.lamp if held else None,
        held_a=held.amps_a if held else None,
        held_w=held.watts_w if held else None,
        surge_a=held.surge_a if held else None,
        short_low_a=sure[0],
        short_high_a=sure[1],
        margin_low=sure[2],
        margin_high=sure[3],
    )


def starved_at(study: Study, point: Point) -> tuple[Starved, ...]:
    """Return the loads of constant watts that the test train at a point starves."""
    scan = study.scan
    if scan.hungry is None or not scan.starves_at(point.segment, point.t):
        return ()
    z = scan.hungry.toward(np.array([point.segment]), np.array([point.t]))[0]
    return starved_by(study.system, scan.hungry.small, scan.train_a * z)


def say_starved(starves: tuple[Starved, ...], train_a: float) -> str:
    """Return what a test train does to the loads that it starves.

    Such as "A 3.00 A train here starves L1: of 30 W it can have 24 W at most".
    """
    told = [
        f"{one.part}: of {show_watts(one.asked_w)} it can have "
        f"{show_watts(one.most_w)} at most"
        for one in starves
    ]
    return f"A {show_amps(train_a)} train here starves {', and '.join(told)}"


def _cleared(
    study: Study, where: tuple[Ints, Floats]
) -> tuple[Clearing | None, float | None]:
    """Return what clears a short at a place best, and how surely."""
    trips = study.trips_at(*where)
    if trips.by[0] < 0:
        return None, None
    return study.guards[int(trips.by[0])], float(trips.margin[0])


def _short_band(study: Study, point: Point, by: Clearing | None, rms_a: float) -> _Sure:
    """Return the least and most short current, and margin where something clears."""
    if by is None:
        (band,) = short_bands(study, (point,), ("rms",))
        return rms_a * band.low, rms_a * band.high, None, None
    ((low, high),) = margin_bands(study, (point,))
    return low * by.trip_a, high * by.trip_a, low, high


def find_point(study: Study, place: OnRun) -> Point:
    """Return the segment a place lies in, and the fraction along it.

    At a joint or gap the segment before it is taken.
    """
    best: Point | None = None
    for i in study.circuit.on_run.get(place.run, ()):
        segment = study.circuit.segments[i]
        length = segment.end_m - segment.start_m
        t = (place.position_m - segment.start_m) / length
        if best is None or t > 0.0:
            best = Point(i, min(max(t, 0.0), 1.0))
        if t <= 1.0:
            break
    if best is None:
        raise UnknownNameError(place.run, "run")
    return best


def judge_drop(share: float, volts: float, limits: Limits) -> Verdict:
    """Return the verdict on a loss of volts."""
    if share > limits.drop_most or volts < limits.floor_v:
        return "poor"
    return "good" if share <= limits.drop_good else "tolerable"


def judge_short(margin: float | None, limits: Limits) -> Verdict:
    """Return the verdict on a short-circuit margin; None: nothing would trip."""
    if margin is None or margin < limits.short_least:
        return "poor"
    return "good" if margin >= limits.short_good else "tolerable"


def loop_henry(study: Study, point: Point, unit: Floats) -> float:
    """Return the inductance of the loop at low frequency.

    Half L·b² summed over the branches is the energy that a slowly changing unit
    current stores; in the point's own segment the two parts of each rail carry
    what `breakdown` says. [H]
    """
    system = study.system
    segment = system.circuit.segments[point.segment]
    stored = np.where(system.active, system.henry * unit**2, 0.0)
    total = float(stored.sum())
    t = point.t
    # Inside: t·(b + (1−t))² + (1−t)·(b − t)² = b² + t(1−t), as for resistance.
    return total + t * (1.0 - t) * segment.henry


def shorted_booster(study: Study, point: Point) -> PartId | None:
    """Return a booster that feeds a point and has its poles joined, if one has."""
    segment = study.circuit.segments[point.segment]
    island = study.system.islands.label[segment.left0]
    shorted = set(study.shorted)
    for source in study.circuit.sources:
        same = study.system.islands.label[source.plus] == island
        if same and source.part in shorted:
            return source.part
    return None


def race_to_trip(study: Study, point: Point) -> tuple[Racer, ...]:
    """Return the devices that carry some of a short, the first to open at the head.

    Those that open come in their turn, then those that sense enough but come too late
    by their times, the nearer first where equal; then those that do not trip at all.
    A fast one may trip on what a lamp draws cold.
    """
    return races_to_trip(study, np.array([point.segment]), np.array([point.t]))[0]


def races_to_trip(
    study: Study, segments: Ints, t: Floats
) -> tuple[tuple[Racer, ...], ...]:
    """Return `race_to_trip` of several places, worked out together: much faster."""
    tripping = study.tripping
    if tripping is None:
        return ((),) * len(t)
    found = [_race(study, stages) for stages in tripping.follow(segments, t)]
    for n, (segment, place) in enumerate(zip(segments.tolist(), t, strict=True)):
        if study.lamps[segment]:
            found[n] = _with_surge(study, found[n], Point(segment, float(place)))
    return tuple(found)


def _with_surge(
    study: Study, race: tuple[Racer, ...], point: Point
) -> tuple[Racer, ...]:
    """Return a race in which fast devices trip on what lamps draw cold."""
    cold = cold_shorts(study, point)
    guards = {guard.part: guard for guard in study.guards}
    found: list[Racer] = []
    for racer in race:
        guard = guards[racer.part]
        surge = float(cold.sensed(guard.sensing)[0])
        own, waits = racer, racer.trip_s
        enough = trips_on_surge(waits) and guard.margin(surge) >= SURE
        if enough and not racer.trips:
            own = replace(racer, sensed_a=surge, trips=True, opens_s=waits)
        found.append(own)
    return tuple(sorted(found, key=_turn))


def _race(study: Study, stages: tuple[Stage, ...]) -> tuple[Racer, ...]:
    found: dict[int, Racer] = {}
    for stage in stages:
        rows = zip(stage.devices, stage.sensed_a, stage.margins, strict=True)
        for device, sensed, margin in rows:
            guard, trips = study.guards[device], margin >= SURE
            racer = found.get(device)
            if racer is None:
                racer = Racer(guard.part, sensed, guard.trip_a, guard.trip_s, trips)
            else:
                most = max(sensed, racer.then_a or 0.0)
                racer = replace(racer, then_a=most, trips=racer.trips or trips)
            if device == stage.opens:
                racer = replace(racer, opens_s=stage.until_s)
            found[device] = racer
    return tuple(sorted(found.values(), key=_turn))


def _turn(racer: Racer) -> tuple[float, bool, float]:
    opens = racer.opens_s if racer.opens_s is not None else inf
    return opens, not racer.trips, racer.trip_s


def lazy_watts(source_v: float, loop_ohm: float, trip_a: float) -> float:
    """Return the heat in a bad contact that draws just under the trip. [W].

    (V − I·R)·I at I = trip; where the wiring lets less through, at its most,
    V²/(4R).
    """
    amps = min(trip_a, source_v / (2.0 * loop_ohm))
    return (source_v - amps * loop_ohm) * amps


def notch(study: Study, point: Point, response: Response, source_v: float) -> float:
    """Return how long the rails cross over when the current turns. [s].

    The flux that the loads' currents link with the loop of a point, over the
    volts: Σ L·b·i / V, the I·L/V of a lone wire.
    """
    system = study.system
    count = len(system.circuit.branches)
    unit = response.amps[:count]
    amps = amps_with_train(study, point, response)[:count]
    flux = np.where(system.active[:count], system.henry[:count] * unit * amps, 0.0)
    return abs(float(flux.sum())) / source_v


def _dead(study: Study, point: Point, place: OnRun, track: str) -> Probe:
    # Where a short leaves hardly a volt, that is what is wrong there.
    shorted = shorted_booster(study, point)
    return Probe(
        run=place.run,
        track=track,
        position_m=place.position_m,
        fed=False,
        volts_v=0.0,
        standing_v=0.0,
        source_v=0.0,
        test_train_a=study.scan.train_a,
        loop_ohm=float("inf"),
        loop_henry=float("inf"),
        short_dc_a=0.0,
        short_rms_ones_a=None,
        short_rms_zeros_a=None,
        short_mean_ones_a=None,
        short_mean_zeros_a=None,
        short_peak_a=None,
        drop_share=1.0,
        breakdown=(),
        cleared_by=None,
        trip_a=None,
        margin=None,
        drop_verdict="dead",
        short_verdict="dead",
        sentence="No booster reaches both rails here."
        if shorted is None
        else f"{say_short(study, shorted)}: cure that first. It leaves no volts here.",
        shorted_by=shorted,
        volts_low_v=0.0,
        volts_high_v=0.0,
        loop_low_ohm=float("inf"),
        loop_high_ohm=float("inf"),
        race=(),
        limited_by=None,
        helps="",
        lazy_w=None,
        notch_s=0.0,
        drops=(),
        devices=(),
        starves=(),
        beyond=(),
        held_by=None,
        held_a=None,
        held_w=None,
        surge_a=None,
        short_low_a=None,
        short_high_a=None,
        margin_low=None,
        margin_high=None,
    )


def _first(
    figures: tuple[float, float],
    starves: tuple[Starved, ...],
    beyond: tuple[Beyond, ...],
    train_a: float,
) -> str:
    volts, share = figures
    said = f"{show_volts(volts)} at load, {show_share(share)} lost on the way"
    if starves:
        said = say_starved(starves, train_a)
    return f"{said}, but {say_beyond(beyond[0])}" if beyond else said


def _sentence(
    first: str,
    by: Clearing | None,
    margin: float | None,
    whole_a: float,
    held: Held | None,
    race: tuple[Racer, ...],
) -> str:
    if held is not None:
        said = f"{first}; a coin here lights {held.lamp}, which holds it at "
        said += f"{show_amps(held.amps_a)} and gets {show_watts(held.watts_w)}"
        if held.first is None:
            return f"{said}; nothing trips."
        drawn = show_amps(held.first.sensed_a)
        return f"{said}; but {held.first.part} trips first, on {drawn}."
    if by is None or margin is None:
        return f"{first}; nothing here would trip on a short."
    sensed, trip = margin * by.trip_a, show_amps(by.trip_a)
    draws, times = f"a coin here draws {show_amps(sensed)}", f"what trips {by.part}"
    it = str(by.part)
    if sensed < whole_a * (1.0 - WHOLE) and (by.limit_a is None or sensed < by.limit_a):
        draws = f"a coin here draws {show_amps(whole_a)} by several feeds"
        it = f"{by.part} senses {show_amps(sensed)}{_once_open(race, by, sensed)}"
        if margin < SURE:
            return f"{first}; {draws}: {it}, and may never trip at {trip}."
        return f"{first}; {draws}: {it}, {margin:.1f} times its trip."
    if margin < SURE:
        return f"{first}; {draws}: {it} may never trip at {trip}."
    return f"{first}; {draws}, {margin:.1f} times {times}."


def _once_open(race: tuple[Racer, ...], by: Clearing, sensed_a: float) -> str:
    """Return after whose opening a device senses that much; empty where at once."""
    own = next((racer for racer in race if racer.part == by.part), None)
    if own is None or abs(own.sensed_a - sensed_a) <= WHOLE * sensed_a:
        return ""
    before = [
        str(racer.part)
        for racer in race
        if racer.opens_s is not None and racer.opens_s < (own.opens_s or inf)
    ]
    return f" once {' and '.join(before)} opened" if before else ""
