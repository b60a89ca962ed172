"""W123: the two sides of a gap are of opposite phase."""

from collections.abc import Iterator

from core.analysis.boundaries import Boundary, find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.turning import is_uncured
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import Booster
from core.layout.queries import part_name
from core.network.reversing import find_reversing
from core.units.figures import show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each cause of opposite phase that no reverser serves.

    Gaps of a reversing path without a reverser are W112 and W114, and behind a
    shorted booster only what its own terminals say counts.
    """
    edges = [edge for edge in find_boundaries(study) if edge.opposite]
    edges = [edge for edge in edges if not edge.reversers and _is_sure(study, edge)]
    if edges:
        turning = {
            gap
            for path in find_reversing(study.layout)
            if is_uncured(study, path)
            for gap in path.gaps
        }
        edges = [edge for edge in edges if edge.part not in turning]
    causes: dict[frozenset[PartId], list[Boundary]] = {}
    for edge in edges:
        causes.setdefault(_cause(study, edge), []).append(edge)
    for found in causes.values():
        yield _finding(study, found)


def _tops(study: Study, edge: Boundary) -> tuple[Booster, ...]:
    """Return the boosters of the two sides, each once."""
    tops = {study.feeds.chain(feed)[-1] for feed in edge.feeds if feed is not None}
    return tuple(study.layout.need(top, Booster) for top in sorted(tops))


def _is_sure(study: Study, edge: Boundary) -> bool:
    """Return whether phase can be told: not from the sagging volts of a short."""
    tops = _tops(study, edge)
    shorted = set(study.shorted)
    if shorted.isdisjoint(top.id for top in tops):
        return True
    return len({top.reversed_phase for top in tops}) == 2


def _cause(study: Study, edge: Boundary) -> frozenset[PartId]:
    """Return the booster that is turned, or else what feeds the two sides."""
    tops = _tops(study, edge)
    turned = [top.id for top in tops if top.reversed_phase]
    if len(tops) == 2 and len(turned) == 1:
        return frozenset(turned)
    return frozenset(feed for feed in edge.feeds if feed is not None)


def _finding(study: Study, edges: list[Boundary]) -> Finding:
    edge = edges[0]
    one, other = edge.feeds
    volts = [top.volts_v for top in _tops(study, edge)]
    first, second = volts[0], volts[-1]
    names = [part_name(study.layout, e.part) for e in edges]
    turned = _turned(study, edge)
    return RULE.finding(
        f"At {list_names(names)} the two sides are of opposite phase: "
        f"{show_volts(first + second)} across the gap, a short under the first wheel.",
        f"{show_volts(first)} against −{show_volts(second)}",
        _remedy(turned),
        parts=tuple(
            dict.fromkeys(
                part
                for part in (*(e.part for e in edges), turned, one, other)
                if part is not None
            )
        ),
        place=edge.place,
        size=first + second,
        fix=_fix(study, turned) if turned is not None else None,
    )


def _turned(study: Study, edge: Boundary) -> PartId | None:
    """Return the one booster of the two whose output is said to be turned."""
    tops = _tops(study, edge)
    turned = [top.id for top in tops if top.reversed_phase]
    return turned[0] if len(tops) == 2 and len(turned) == 1 else None


def _remedy(turned: PartId | None) -> str:
    if turned is not None:
        return f"Swap the two output wires of {turned}."
    return "Swap the two wires of the feed on one side of the gap."


def _fix(study: Study, turned: PartId) -> Change:
    label = f"Swap the terminals of {turned}"
    return refit(study.layout, (turned,), label, reversed_phase=False)


RULE = Rule(
    "W123",
    Severity.HAZARD,
    "Opposite phase across a gap",
    source="Wheels join left to left: unlike poles there are a short; twice the track "
    "volts is beyond the 27 V a decoder must stand (NMRA S-9.1 table 3).",
    check=check,
)
