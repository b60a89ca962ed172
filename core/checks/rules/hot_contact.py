"""W305: a bad contact that could burn without tripping anything."""

from collections.abc import Iterator
from math import floor

import numpy as np

from core.analysis.probe import lazy_watts
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.scales import MOST_TRIP_A, SMALL
from core.checks.spots import worst_spots
from core.layout.parts import Settings
from core.layout.queries import place_name
from core.units.figures import show_amps, show_watts

MOST_W = 75.0
"""Heat in one contact: 5 A of 15 V, what W302 lets pass. [W] House choice."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device behind which a contact could get too hot.

    Devices that are too big for the scale anyhow are W302.
    """
    settings: Settings = study.layout.settings
    if settings.scale not in SMALL:
        return
    scan = study.scan
    t = np.zeros(len(scan.fed))
    least = study.least_to_trip(np.arange(len(t)), t).tolist()
    watts = np.array(
        [
            lazy_watts(scan.driven_at(i, 0.0), scan.short_loop_at(i, 0.0), least[i])
            if scan.fed[i]
            and (by := study.clearing[i]) is not None
            and by.trip_a <= MOST_TRIP_A
            else 0.0
            for i in range(len(scan.fed))
        ]
    )
    for spot in worst_spots(study, t, watts / MOST_W):
        assert spot.by is not None, "places that nothing clears have no figure here"
        heat = spot.size * MOST_W
        amps = least[spot.segment]
        yield RULE.finding(
            f"A wheel that touches badly at {place_name(study.layout, spot.place)} can "
            f"burn with {show_watts(heat)} and never trip {spot.by.part}{spot.also}.",
            f"(V − I·R)·I at I = {show_amps(amps)}: {show_watts(heat)}; a "
            "small soldering iron has 25 W",
            f"Set {spot.by.part} to {show_amps(_cooler(spot.by.trip_a, heat))} or "
            "less, or the track volts lower.",
            parts=(spot.by.part, *spot.runs),
            place=spot.place,
            size=spot.size,
        )


def _cooler(trip_a: float, heat: float) -> float:
    """Return a trip, in half amperes, that keeps the heat under the limit. [A]"""
    return max(0.5, floor(2.0 * trip_a * MOST_W / heat) / 2.0)


RULE = Rule(
    "W305",
    Severity.ADVICE,
    "Bad contact can burn",
    source="House choice: the heat that a 5 A trip leaves at 15 V; melted trucks are "
    "common practice's lesson, no source.",
    check=check,
)
