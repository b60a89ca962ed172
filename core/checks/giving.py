"""A booster or device that cannot give what is drawn with the test train there."""

from core.analysis.beyond import Given, beyond_at, beyond_bounds, say_beyond
from core.analysis.breakdown import Point
from core.analysis.study import Beyond, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.spots import Spot
from core.layout.queries import part_name, place_name
from core.units.figures import show_amps

REMEDY = (
    "Give part of its track to another, run fewer trains at once, or try a smaller "
    "test train."
)

WORDS = {
    "trip": "it trips at",
    "limit": "it gives no more than",
    "rated": "it is made for",
}
"""What holds a booster or device down."""


def with_train(study: Study, given: Given) -> Beyond | None:
    """Return what a device cannot give with the test train; None where it can."""
    return beyond_bounds(study.layout, given.part, given.amps_a)


def train_finding(rule: Rule, study: Study, given: Given, beyond: Beyond) -> Finding:
    """Return the finding on a device that the test train takes beyond a bound.

    A fault where it trips or gives way; advice where it is only more than it is made
    for while the train is there.
    """
    train = show_amps(given.amps_a - given.standing_a)
    most, bound = show_amps(given.amps_a), show_amps(beyond.bound_a)
    volts = " No volts hold there." if beyond.stops else ""
    return rule.finding(
        f"{part_name(study.layout, given.part)} has to give {most} with a "
        f"{show_amps(study.scan.train_a)} train {_where(study, given)}; "
        f"{WORDS[beyond.bound]} {bound}.{volts}",
        f"{show_amps(given.standing_a)} standing + {train} with the train = {most} > "
        f"{bound}",
        REMEDY,
        parts=(given.part,),
        place=given.at,
        severity=Severity.FAULT if beyond.stops else Severity.ADVICE,
        size=given.amps_a / beyond.bound_a,
    )


def but_beyond(study: Study, spot: Spot) -> str:
    """Return a sentence on a device that cannot give what a spot's volts ask for.

    With the blank before it; empty where all can.
    """
    beyond = beyond_at(study, Point(spot.segment, spot.t))
    return f" But {say_beyond(beyond[0])}." if beyond else ""


def _where(study: Study, given: Given) -> str:
    if given.at is None:
        return "anywhere on its track"
    return f"at {place_name(study.layout, given.at)}"
