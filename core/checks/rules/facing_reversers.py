"""W124: two reversers face each other across one gap."""

from collections.abc import Iterator

from core.analysis.boundaries import Boundary, find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.units.figures import show_seconds


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each gap with a reverser of its own on either side."""
    for edge in find_boundaries(study):
        own = [_own_reverser(study, feed) for feed in edge.feeds]
        if own[0] is None or own[1] is None or own[0] == own[1]:
            continue
        yield _finding(study, edge, own[0], own[1])


def _own_reverser(study: Study, feed: PartId | None) -> PartId | None:
    for part in study.feeds.chain(feed) if feed is not None else ():
        device = study.layout.get(part, Inline)
        if device is not None and device.device == "reverser":
            return part
    return None


def _finding(study: Study, edge: Boundary, one: PartId, other: PartId) -> Finding:
    times = [study.layout.need(part, Inline).trip_s for part in (one, other)]
    return RULE.finding(
        f"{one} and {other} face each other across "
        f"{part_name(study.layout, edge.part)}: each turns when the other has, and "
        "they chase each other until something trips.",
        f"{show_seconds(times[0])} against {show_seconds(times[1])}",
        "Let only one of two sections that touch turn; feed the other straight.",
        parts=(one, other, edge.part),
        place=edge.place,
    )


RULE = Rule(
    "W124",
    Severity.FAULT,
    "Two reversers chase each other",
    source="Only one of two adjoining sections may turn (common practice, no source).",
    check=check,
)
