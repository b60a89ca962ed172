"""W126: a train long enough to bridge a whole district."""

from collections.abc import Iterator
from itertools import pairwise

from core.analysis.boundaries import Boundary, find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Load
from core.layout.queries import part_name
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pair of gaps that the longest train spans."""
    trains = [x for x in study.layout.of_kind(Load) if x.use == "train"]
    longest = max(trains, key=lambda x: x.length_m, default=None)
    if longest is None or longest.length_m <= 0.0:
        return
    by_run: dict[PartId, list[Boundary]] = {}
    for edge in find_boundaries(study):
        by_run.setdefault(edge.place.run, []).append(edge)
    for edges in by_run.values():
        edges.sort(key=lambda edge: edge.place.position_m)
        for one, other in pairwise(edges):
            length = other.place.position_m - one.place.position_m
            if length < longest.length_m:
                yield _finding(study, longest, (one, other), length)


def _finding(
    study: Study, train: Load, edges: tuple[Boundary, Boundary], length: float
) -> Finding:
    system = study.layout.settings.lengths
    feeds = list(
        dict.fromkeys(f for edge in edges for f in edge.feeds if f is not None)
    )
    return RULE.finding(
        f"{part_name(study.layout, train.id)} is longer than the "
        f"{show_length(length, system)} between {edges[0].part} and {edges[1].part}: "
        f"it joins {list_names(feeds)} all at once.",
        f"{show_length(train.length_m, system)} > {show_length(length, system)}",
        "Move the gaps apart, or keep lit coaches and metal wheels shorter than that.",
        parts=(edges[0].part, edges[1].part, train.id, *feeds),
        place=edges[0].place,
        size=train.length_m / length if length else 1e3,
    )


RULE = Rule(
    "W126",
    Severity.ADVICE,
    "Train bridges a district",
    source="A train with pickups at both ends joins what it spans (common practice, "
    "no source).",
    check=check,
)
