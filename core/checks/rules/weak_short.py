"""W301: a short circuit that its breaker may not notice."""

from collections.abc import Iterator

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.remedy import find_remedy
from core.analysis.study import Clearing, Floats, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.spots import Spot, worst_spots
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import place_name
from core.units.figures import show_amps

SURE = 1.0
"""Below this a short does not reach the trip current at all. [1]"""

_TRIPS = (
    "trips",
    {
        Severity.HAZARD: "it may never trip",
        Severity.FAULT: "it may be slow to trip, or not trip at all",
        Severity.ADVICE: "it will trip, but with little to spare",
    },
)
_TURNS = (
    "turns",
    {
        Severity.HAZARD: "it may never turn; wheels across a gap of its section then "
        "stay shorted",
        Severity.FAULT: "it may be slow to turn, or not turn at all, and trains stop "
        "at its gaps",
        Severity.ADVICE: "it will turn, but with little to spare",
    },
)
"""What a breaker does in a short, and a reverser: a verb, and how well."""

MOST_EXPLAINED = 12
"""Findings for which what holds the current down is looked up."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device that shorts somewhere behind it may pass.

    A booster that cannot push more anyhow is W306.
    """
    limits = study.layout.settings.limits
    t = study.weakest_at
    guards, margin = _judged(study, t)
    size = limits.short_good / np.where(margin > 0.0, margin, np.nan)
    for rank, spot in enumerate(worst_spots(study, t, size, guards)):
        wanted = limits.short_good / spot.size
        yield _finding(study, spot, wanted, explain=rank < MOST_EXPLAINED)


def _judged(study: Study, t: Floats) -> tuple[list[Clearing | None], Floats]:
    """Return what clears a short in each segment best, and its margin.

    A reverser right before the track must turn by itself, whatever stands above it.
    """
    every = np.arange(len(t))
    trips = study.trips_at(every, t, limits=False)
    guards: list[Clearing | None] = [
        study.guards[i] if i >= 0 else None for i in trips.by.tolist()
    ]
    margin = trips.margin.copy()
    for i, near in enumerate(study.clearing):
        own = guards[i]
        if near is None or own is None or study.weakest is None:
            continue
        if near.part != own.part and _turns(study, near.part) and not study.sharers(i):
            guards[i] = near
            margin[i] = study.weakest.sensed(near.sensing)[i] / near.trip_a
    return guards, margin


def _finding(study: Study, spot: Spot, margin: float, *, explain: bool) -> Finding:
    assert spot.by is not None, "without a device there is no margin"
    limits = study.layout.settings.limits
    limit, severity = limits.short_good, Severity.ADVICE
    if margin < SURE:
        limit, severity = SURE, Severity.HAZARD
    elif margin < limits.short_least:
        limit, severity = limits.short_least, Severity.FAULT
    by, trip = spot.by.part, spot.by.trip_a
    does, verdicts = _TURNS if _turns(study, by) else _TRIPS
    plain = study.plain_short_at(spot.segment, spot.t)
    alone = _plain_margin(study, spot)
    sharing = ""
    if spot.sharers:
        sharing = f"; {list_names(spot.sharers)} share the short"
    return RULE.finding(
        f"{place_name(study.layout, spot.place)}: a coin across the rails draws "
        f"{show_amps(margin * trip)} as {by} senses it; {by} {does} at "
        f"{show_amps(trip)}: {verdicts[severity]}{sharing}{spot.also}.",
        f"{show_amps(margin * trip)} / {show_amps(trip)} = {margin:.2f} < {limit:g}; "
        f"by resistance alone {show_amps(plain)}, {alone:.2f} times",
        _remedy(study, spot, explain=explain),
        parts=tuple(dict.fromkeys((*spot.runs, by, *spot.sharers))),
        place=spot.place,
        severity=severity,
        size=limit / margin,
    )


def _remedy(study: Study, spot: Spot, *, explain: bool) -> str:
    """Say what helps against what holds the current down."""
    assert spot.by is not None
    smaller = f"put a breaker with a lower trip than {spot.by.part} before this track"
    if _turns(study, spot.by.part):
        smaller = f"set {spot.by.part} lower, or take one that turns at less"
    if not explain:
        return f"{smaller[0].upper()}{smaller[1:]}."
    return f"{find_remedy(study, Point(spot.segment, spot.t)).words}. Or {smaller}."


def _plain_margin(study: Study, spot: Spot) -> float:
    """Return the margin that resistance alone would leave. [1]"""
    where = np.array([spot.segment]), np.array([spot.t])
    return float(study.trips_at(*where, limits=False, plain=True).margin[0])


def _turns(study: Study, by: PartId) -> bool:
    device = study.layout.get(by, Inline)
    return device is not None and device.device == "reverser"


RULE = Rule(
    "W301",
    Severity.FAULT,
    "Short circuit may not trip",
    source="House choice, from the coin test of common practice: short current at "
    "least 1.5, better 2 times the trip current.",
    check=check,
)
