"""W206: a load that asks for more watts than the wiring can carry."""

from collections.abc import Iterator

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.loads import Starved
from core.analysis.probe import starved_at
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.spots import Spot, worst_spots
from core.layout.ids import PartId
from core.layout.parts import Load
from core.layout.queries import part_name, place_name
from core.units.figures import show_amps, show_watts

BETTER = "Feed that place better, or give the load a smaller figure."

SAME = 1e-3
"""Figures that differ by a smaller share are told as one. [1]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each load that no current could satisfy.

    Standing loads among themselves first; then those that a test train starves,
    told for the worst place of it behind each device.
    """
    for starved in study.starved:
        load = study.layout.need(starved.part, Load)
        yield RULE.finding(
            f"{part_name(study.layout, load.id)} cannot get its "
            f"{show_watts(starved.asked_w)} there.",
            _sum(starved, "the other loads"),
            BETTER,
            parts=(load.id, load.on.run),
            place=load.on,
            size=starved.asked_w / max(starved.most_w, 1e-3),
        )
    yield from _by_train(study)


def _by_train(study: Study) -> Iterator[Finding]:
    told: set[PartId] = set()
    for spot in _starving_spots(study):
        for starved in starved_at(study, Point(spot.segment, spot.t)):
            if starved.part not in told:
                told.add(starved.part)
                yield _finding(study, spot, starved)


def _starving_spots(study: Study) -> list[Spot]:
    """Return where the train starves a load, the place that leaves it least first."""
    t, lowest = study.scan.lowest_volts()
    starving = study.scan.starving(np.arange(len(t)), t)
    if not starving.any():
        return []
    loops = study.scan.highest_loop()[1]
    size = np.where(starving & (lowest <= 0.0), 1.0 + np.abs(loops), 0.0)
    return worst_spots(study, t, np.asarray(size, np.float64))


def _finding(study: Study, spot: Spot, starved: Starved) -> Finding:
    load = study.layout.need(starved.part, Load)
    train = show_amps(study.scan.train_a)
    return RULE.finding(
        f"{part_name(study.layout, load.id)} cannot get its "
        f"{show_watts(starved.asked_w)} with {train} more drawn at "
        f"{place_name(study.layout, spot.place)}{spot.also}.",
        _sum(starved, f"the train of {train} and the other loads"),
        BETTER,
        parts=(load.id, *spot.runs),
        place=spot.place,
        size=starved.asked_w / max(starved.most_w, 1e-3),
    )


def _sum(starved: Starved, others: str) -> str:
    alone, most, asked = map(
        show_watts, (starved.alone_w, starved.most_w, starved.asked_w)
    )
    if starved.most_w >= starved.alone_w * (1.0 - SAME):
        return f"most that the wiring can carry there, V²/(4·R) = {alone} < {asked}"
    return f"V²/(4·R) = {alone} for it alone; beside {others} {most} at most < {asked}"


RULE = Rule(
    "W206",
    Severity.FAULT,
    "Load cannot be fed",
    source="Greatest power of a source behind a resistance: V²/(4·R).",
    check=check,
)
