"""W303: a device that trips before the one below it."""

from collections.abc import Iterator

from core.analysis.duties import clearing_of
from core.analysis.study import Clearing, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.units.figures import show_amps, show_seconds

LEAST_RATIO = 2.0
"""Of the upper device's time to the lower one's. [1] House choice."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device that the one above it may forestall."""
    for device in study.layout.of_kind(Inline):
        up = study.feeds.above.get(device.id)
        above = clearing_of(study.layout, study.feeds, up)
        if device.trip_a is None or above is None:
            continue
        if above.trip_a < device.trip_a:
            yield _by_current(study, device, device.trip_a, above)
        elif above.trip_s < LEAST_RATIO * device.trip_s:
            yield _by_time(study, device, above)


def _by_current(
    study: Study, device: Inline, trip_a: float, above: Clearing
) -> Finding:
    name = part_name(study.layout, device.id)
    return RULE.finding(
        f"{above.part} trips at {show_amps(above.trip_a)}, before {name}, which lets "
        f"{show_amps(trip_a)} through: everything behind {above.part} stops.",
        f"{show_amps(above.trip_a)} < {show_amps(trip_a)}",
        f"Set {device.id} to {show_amps(above.trip_a)} or less.",
        parts=(device.id, above.part),
        size=trip_a / above.trip_a,
    )


def _by_time(study: Study, device: Inline, above: Clearing) -> Finding:
    name = part_name(study.layout, device.id)
    loses = above.trip_s <= device.trip_s
    what = "wins over" if loses else "is hardly slower than"
    ratio = device.trip_s / above.trip_s if above.trip_s else float("inf")
    return RULE.finding(
        f"{above.part} trips in {show_seconds(above.trip_s)} and {what} {name} with "
        f"{show_seconds(device.trip_s)}: one short stops everything behind it.",
        f"{show_seconds(above.trip_s)} < {LEAST_RATIO:g} × "
        f"{show_seconds(device.trip_s)}",
        f"Make {above.part} slower, at least {show_seconds(3.0 * device.trip_s)}, or "
        f"{device.id} faster.",
        parts=(device.id, above.part),
        severity=RULE.severity if loses else Severity.ADVICE,
        size=ratio,
    )


RULE = Rule(
    "W303",
    Severity.FAULT,
    "The wrong one trips first",
    source="House choice, from times quoted in practice: reverser, breaker and booster "
    "as 1 : 3 : 9, at the least 1 : 2 : 4.",
    check=check,
)
