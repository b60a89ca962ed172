"""W202: fewer volts at the rails than a train needs at all."""

from collections.abc import Iterator

import numpy as np

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.giving import but_beyond
from core.checks.rule import Rule
from core.checks.spots import worst_spots
from core.layout.queries import place_name
from core.units.figures import show_amps, show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device behind which volts fall below the floor."""
    floor = study.layout.settings.limits.floor_v
    t, lowest = study.scan.lowest_volts()
    # A load may draw more than the wiring has: the sum then falls below zero.
    size = floor / np.maximum(lowest, 0.01 * floor) if floor else np.zeros_like(lowest)
    # Where the train starves a load there are no volts to tell: W206 does.
    size = np.where(study.scan.starving(np.arange(len(t)), t), 0.0, size)
    for spot in worst_spots(study, t, np.asarray(size, np.float64)):
        volts = study.scan.volts_at(spot.segment, spot.t)
        source = study.scan.source_at(spot.segment, spot.t)
        yield RULE.finding(
            f"{place_name(study.layout, spot.place)}: {_left(volts)} is left with "
            f"{show_amps(study.scan.train_a)} more drawn there{spot.also}."
            f"{but_beyond(study, spot)}",
            f"{show_volts(source)} − {show_volts(source - volts)} = "
            f"{show_volts(volts)} < {show_volts(floor)}",
            "Feed this place better: more drops, a thicker bus, a booster nearer by.",
            parts=spot.runs,
            place=spot.place,
            size=spot.size,
        )


def _left(volts: float) -> str:
    return f"only {show_volts(volts)}" if volts > 0.0 else "nothing"


RULE = Rule(
    "W202",
    Severity.FAULT,
    "Below the lowest volts",
    source="NMRA S-9.1: a decoder must work from 7 V at the track; for other kinds "
    "the floor of the settings.",
    check=check,
)
