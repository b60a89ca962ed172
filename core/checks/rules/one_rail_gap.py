"""W125: a gap in one rail where two feeds meet."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.parts import Gap
from core.layout.queries import place_name

SAME_PLACE_M = 0.05
"""Cuts in the two rails this close together count as one double gap. [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each one-rail gap with another feed on either side."""
    gaps = list(study.layout.of_kind(Gap))
    for gap in gaps:
        if gap.rails == "both" or _has_partner(gap, gaps):
            continue
        feeds = _feeds(study, gap)
        if len(feeds) < 2:
            continue
        kept = "right" if gap.rails == "left" else "left"
        yield RULE.finding(
            f"{gap.id} cuts only the {gap.rails} rail at "
            f"{place_name(study.layout, gap.on)}, where {' and '.join(feeds)} meet: "
            f"the {kept} rail joins them.",
            "1 rail cut, 2 rails lead on",
            "Cut the other rail too: with a common rail two breakers trip together "
            "and detectors report ghosts.",
            parts=(gap.id, *feeds),
            place=gap.on,
            fix=refit(
                study.layout, (gap.id,), f"Cut both rails at {gap.id}", rails="both"
            ),
        )


def _has_partner(gap: Gap, gaps: list[Gap]) -> bool:
    return any(
        other.id != gap.id
        and other.on.run == gap.on.run
        and other.rails != gap.rails
        and abs(other.on.position_m - gap.on.position_m) <= SAME_PLACE_M
        for other in gaps
    )


def _feeds(study: Study, gap: Gap) -> list[PartId]:
    """Return the devices that feed the two sides of a gap, each once."""
    found: dict[PartId, None] = {}
    for segment in study.circuit.segments:
        if segment.run != gap.on.run:
            continue
        for at, nodes in (
            (segment.end_m, (segment.left1, segment.right1)),
            (segment.start_m, (segment.left0, segment.right0)),
        ):
            if abs(at - gap.on.position_m) < 1e-6:
                part = study.feeds.of_pair(*nodes)
                if part is not None:
                    found[part] = None
    return list(found)


RULE = Rule(
    "W125",
    Severity.FAULT,
    "Only one rail gapped",
    source="Two rails for a digital district boundary (common practice, no source).",
    check=check,
)
