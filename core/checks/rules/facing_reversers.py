"""W124: two reversers face each other across one gap."""

from collections.abc import Iterator

from core.analysis.boundaries import Boundary
from core.analysis.pits import find_crossings
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.units.figures import show_seconds


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each two reversers whose sections meet at a gap or pit."""
    pairs: dict[tuple[PartId, PartId], list[Boundary]] = {}
    for edge in find_crossings(study):
        one, other = (_own_reverser(study, feed) for feed in edge.feeds)
        if one is not None and other is not None and one != other:
            first, second = sorted((one, other))
            pairs.setdefault((first, second), []).append(edge)
    for pair, edges in pairs.items():
        yield _finding(study, edges, *pair)


def _own_reverser(study: Study, feed: PartId | None) -> PartId | None:
    for part in study.feeds.chain(feed) if feed is not None else ():
        device = study.layout.get(part, Inline)
        if device is not None and device.device == "reverser":
            return part
    return None


def _finding(
    study: Study, edges: list[Boundary], one: PartId, other: PartId
) -> Finding:
    names = [part_name(study.layout, edge.part) for edge in edges]
    times = [study.layout.need(part, Inline).trip_s for part in (one, other)]
    return RULE.finding(
        f"{one} and {other} face each other across "
        f"{list_names(list(dict.fromkeys(names)))}: a "
        "train makes both turn at once, and they chase each other until something "
        "trips.",
        f"2 reversers at one gap, 1 is the most; they turn in {show_seconds(times[0])} "
        f"and {show_seconds(times[1])}",
        "Let only one of two sections that touch turn; feed the other straight.",
        parts=(one, other, *dict.fromkeys(edge.part for edge in edges)),
        place=edges[0].place,
    )


RULE = Rule(
    "W124",
    Severity.FAULT,
    "Two reversers chase each other",
    source="Only one of two adjoining sections may turn (common practice, no source).",
    check=check,
)
