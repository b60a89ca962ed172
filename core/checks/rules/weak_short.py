"""W301: a short circuit that its breaker may not notice."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from core.analysis.study import Clearing, Loss, Study, margins
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
    margin = margins(study.weakest, _without_limits(study.clearing))
    t = study.weakest_at
    size = limits.short_good / np.where(margin > 0.0, margin, np.nan)
    for rank, spot in enumerate(worst_spots(study, t, size)):
        wanted = limits.short_good / spot.size
        yield _finding(study, spot, wanted, explain=rank < MOST_EXPLAINED)


def _without_limits(
    clearing: tuple[Clearing | None, ...],
) -> tuple[Clearing | None, ...]:
    """Return the devices as if their boosters could push any current."""
    free = {by: replace(by, limit_a=None) for by in set(clearing) if by is not None}
    return tuple(free[by] if by is not None else None for by in clearing)


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
    return RULE.finding(
        f"{place_name(study.layout, spot.place)}: a coin across the rails draws "
        f"{show_amps(margin * trip)} as {by} senses it; {by} {does} at "
        f"{show_amps(trip)}: {verdicts[severity]}{spot.also}.",
        f"{show_amps(margin * trip)} / {show_amps(trip)} = {margin:.2f} < {limit:g}; "
        f"by resistance alone {show_amps(plain)}, {plain / trip:.2f} times",
        _remedy(study, spot, plain / trip, explain=explain),
        parts=(*spot.runs, by),
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
