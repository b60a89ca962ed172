"""W126: a train long enough to bridge a whole district."""

from collections.abc import Iterator

from core.analysis.boundaries import Boundary, find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Load
from core.layout.queries import part_name
from core.network.reversing import find_reversing
from core.network.sections import plan_sections
from core.network.spans import Span, find_spans
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pair of district gaps that the longest train spans.

    Gaps between detection blocks behind one breaker do not count, and those of a
    reversing section are W113.
    """
    trains = [x for x in study.layout.of_kind(Load) if x.use == "train"]
    longest = max(trains, key=lambda x: x.length_m, default=None)
    if longest is None or longest.length_m <= 0.0:
        return
    edges = {e.part: e for e in find_boundaries(study) if _parts_districts(study, e)}
    if len(edges) < 2:
        return
    plan = plan_sections(study.layout)
    turning = [set(path.gaps) for path in find_reversing(study.layout)]
    for span in find_spans(study.layout, plan, edges, longest.length_m):
        if not any({span.first, span.second} <= gaps for gaps in turning):
            yield _finding(study, longest, span, edges)


def _parts_districts(study: Study, edge: Boundary) -> bool:
    one, other = (study.clearing_of(feed) for feed in edge.feeds)
    return one != other


def _finding(
    study: Study, train: Load, span: Span, edges: dict[PartId, Boundary]
) -> Finding:
    system = study.layout.settings.lengths
    pair = edges[span.first], edges[span.second]
    devices = (study.clearing_of(feed) for edge in pair for feed in edge.feeds)
    names = list(dict.fromkeys(d.part for d in devices if d is not None))
    length, wanted = (show_length(x, system) for x in (span.length_m, train.length_m))
    return RULE.finding(
        f"{part_name(study.layout, train.id)} is longer than the {length} between "
        f"{span.first} and {span.second}: over both gaps it joins {list_names(names)}.",
        f"{wanted} > {length}",
        "Move the gaps apart, or keep lit coaches and metal wheels shorter than that.",
        parts=(span.first, span.second, train.id, *names),
        place=pair[0].place,
        size=train.length_m / span.length_m if span.length_m else 1e3,
    )


RULE = Rule(
    "W126",
    Severity.ADVICE,
    "Train bridges a district",
    source="A train with pickups at both ends joins what it spans (common practice, "
    "no source).",
    check=check,
)
