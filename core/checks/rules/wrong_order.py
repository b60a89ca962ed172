"""W303: a device that trips before the one below it."""

from collections.abc import Iterator

from core.analysis.duties import clearing_of
from core.analysis.study import Clearing, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.units.figures import show_amps, show_seconds

LEAST_RATIO = 2.0
"""Of the upper device's time to the lower one's. [1] House choice."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for devices set alike that the one above may forestall."""
    by_current: dict[tuple[Clearing, float], list[PartId]] = {}
    by_time: dict[tuple[Clearing, float], list[PartId]] = {}
    for device in study.layout.of_kind(Inline):
        up = study.feeds.above.get(device.id)
        above = clearing_of(study.layout, study.feeds, up)
        if device.trip_a is None or above is None:
            continue
        if above.trip_a < device.trip_a:
            by_current.setdefault((above, device.trip_a), []).append(device.id)
        elif above.trip_s < LEAST_RATIO * device.trip_s:
            by_time.setdefault((above, device.trip_s), []).append(device.id)
    for (above, trip_a), parts in by_current.items():
        yield _by_current(study, parts, trip_a, above)
    for (above, trip_s), parts in by_time.items():
        yield _by_time(study, parts, trip_s, above)


def _names(study: Study, parts: list[PartId]) -> str:
    return part_name(study.layout, parts[0]) if len(parts) == 1 else list_names(parts)


def _by_current(
    study: Study, parts: list[PartId], trip_a: float, above: Clearing
) -> Finding:
    which = f"{_names(study, parts)}, which {'lets' if len(parts) == 1 else 'let'}"
    return RULE.finding(
        f"{above.part} trips at {show_amps(above.trip_a)}, before {which} "
        f"{show_amps(trip_a)} through: everything behind {above.part} stops.",
        f"{show_amps(above.trip_a)} < {show_amps(trip_a)}",
        f"Set {list_names(parts)} to {show_amps(above.trip_a)} or less.",
        parts=(*parts, above.part),
        size=trip_a / above.trip_a,
    )


def _by_time(
    study: Study, parts: list[PartId], trip_s: float, above: Clearing
) -> Finding:
    loses = above.trip_s <= trip_s
    what = "wins over" if loses else "is hardly slower than"
    ratio = trip_s / above.trip_s if above.trip_s else float("inf")
    return RULE.finding(
        f"{above.part} trips in {show_seconds(above.trip_s)} and {what} "
        f"{_names(study, parts)} with {show_seconds(trip_s)}: one short stops "
        "everything behind it.",
        f"{show_seconds(above.trip_s)} < {LEAST_RATIO:g} × {show_seconds(trip_s)}",
        f"Make {above.part} slower, at least {show_seconds(3.0 * trip_s)}, or "
        f"{list_names(parts)} faster.",
        parts=(*parts, above.part),
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
