"""W123: the two sides of a gap are of opposite phase."""

from collections.abc import Iterator

from core.analysis.boundaries import find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.change import Change
from core.layout.parts import Booster
from core.layout.queries import part_name
from core.units.figures import show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each boundary of opposite phase that no reverser serves."""
    for edge in find_boundaries(study):
        if not edge.opposite or edge.reversers:
            continue
        one, other = edge.feeds
        yield RULE.finding(
            f"At {part_name(study.layout, edge.part)} the two sides are of opposite "
            f"phase: {show_volts(edge.mismatch_v)} across the gap, a short under the "
            "first wheel.",
            f"{show_volts(edge.before_v)} against {show_volts(edge.after_v)}",
            _remedy(study),
            parts=tuple(p for p in (edge.part, one, other) if p is not None),
            place=edge.place,
            size=edge.mismatch_v,
            fix=_fix(study),
        )


def _turned(study: Study) -> list[Booster]:
    return [b for b in study.layout.of_kind(Booster) if b.reversed_phase]


def _remedy(study: Study) -> str:
    turned = _turned(study)
    if len(turned) == 1:
        return f"Swap the two output wires of {turned[0].id}."
    return "Swap the two wires of the feed on one side of the gap."


def _fix(study: Study) -> Change | None:
    turned = _turned(study)
    if len(turned) != 1:
        return None
    only = turned[0].id
    return refit(
        study.layout, (only,), f"Swap the terminals of {only}", reversed_phase=False
    )


RULE = Rule(
    "W123",
    Severity.HAZARD,
    "Opposite phase across a gap",
    source="Wheels join left to left: unlike poles there are a short; twice the track "
    "volts is beyond the 27 V a decoder must stand (NMRA S-9.1 table 3).",
    check=check,
)
