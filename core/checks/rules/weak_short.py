"""W301: a short circuit that its breaker may not notice."""

from collections.abc import Iterator

import numpy as np

from core.analysis.study import Clearing, Floats, Loss, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.spots import Spot, losses_at, worst_spots
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Bus, Inline
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
"""Findings for which the buses on the way are looked up."""


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
    plain = study.scan.short_at(spot.segment, spot.t)
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
        _remedy(study, spot, alone, explain=explain),
        parts=tuple(dict.fromkeys((*spot.runs, by, *spot.sharers))),
        place=spot.place,
        severity=severity,
        size=limit / margin,
    )


def _remedy(study: Study, spot: Spot, plain_margin: float, *, explain: bool) -> str:
    """Say what helps: less inductance where resistance is not what limits."""
    assert spot.by is not None
    smaller = f"put a breaker with a lower trip than {spot.by.part} before this track"
    if _turns(study, spot.by.part):
        smaller = f"set {spot.by.part} lower, or take one that turns at less"
    losses = losses_at(study, spot) if explain else ()
    if plain_margin < study.layout.settings.limits.short_good:
        most = max(losses, key=lambda loss: loss.volts_v, default=None)
        if most is not None and most.kind == "supply":
            return f"The supply itself gives no more: {smaller}."
        return f"Thicker or shorter bus, more drops, a booster nearer by; or {smaller}."
    loose = _loose_buses(study, losses)
    if not loose:
        return f"Inductance limits it: shorten the way, feed its middle; or {smaller}."
    return (
        f"Inductance limits it: twist {list_names(loose, most=3)}. Thicker wire "
        f"would hardly help. Or {smaller}."
    )


def _plain_margin(study: Study, spot: Spot) -> float:
    """Return the margin that resistance alone would leave. [1]"""
    where = np.array([spot.segment]), np.array([spot.t])
    return float(study.trips_at(*where, limits=False, plain=True).margin[0])


def _turns(study: Study, by: PartId) -> bool:
    device = study.layout.get(by, Inline)
    return device is not None and device.device == "reverser"


def _loose_buses(study: Study, losses: tuple[Loss, ...]) -> tuple[PartId, ...]:
    """Return the buses on the way whose conductors are not twisted."""
    parts = dict.fromkeys(part for loss in losses for part in loss.parts)
    buses = (study.layout.get(part, Bus) for part in parts)
    return tuple(bus.id for bus in buses if bus is not None and bus.lay != "twisted")


RULE = Rule(
    "W301",
    Severity.FAULT,
    "Short circuit may not trip",
    source="House choice, from the coin test of common practice: short current at "
    "least 1.5, better 2 times the trip current.",
    check=check,
)
