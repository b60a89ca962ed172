"""W507: track that stays live in front of an open lift-out or gate."""

from collections.abc import Iterator

from core.analysis.openings import APPROACH_M, LiveApproach, live_approaches
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Opening
from core.layout.queries import part_name, run_name
from core.proposals.approach import propose_dead_approach
from core.units.length import show_length
from core.units.si import Metre


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each opening with live rail before an edge."""
    for opening in study.layout.of_kind(Opening):
        if opening.use == "board joint":
            continue
        found = live_approaches(study.layout, opening, study.case.thrown)
        if found:
            yield _finding(study, opening, found)


def _finding(
    study: Study, opening: Opening, found: tuple[LiveApproach, ...]
) -> Finding:
    layout = study.layout
    runs_on = any(bit.rails == "both" for bit in found)
    told = list_names(list(dict.fromkeys(_where(study, bit) for bit in found)))
    ends = "a train runs on and over the edge" if runs_on else "only one rail is cut"
    contact = opening.contact or "a switch that opens with it"
    most = max(bit.far_m - bit.near_m for bit in found)
    fix = propose_dead_approach(layout, opening, study.case.thrown)
    return RULE.finding(
        f"While {part_name(layout, opening.id)} is open, {told} "
        f"{'is' if len(found) == 1 and found[0].rails != 'both' else 'are'} live: "
        f"{ends}.",
        "; ".join(_span(study, bit) for bit in found)
        + f"; dead for {_show(study, APPROACH_M)} wanted",
        f"Cut both rails {_show(study, APPROACH_M)} back on each side and feed the "
        f"track between through {contact}.",
        parts=(
            opening.id,
            *dict.fromkeys(bit.run for bit in found),
            *([opening.contact] if opening.contact else []),
        ),
        place=found[0].edge.on,
        severity=RULE.severity if runs_on else Severity.ADVICE,
        size=1.0 + most / APPROACH_M,
        fix=fix,
    )


def _where(study: Study, bit: LiveApproach) -> str:
    rails = "both rails" if bit.rails == "both" else f"the {bit.rails} rail"
    return f"{rails} of {run_name(study.layout, bit.run)} on the {bit.side} side"


def _span(study: Study, bit: LiveApproach) -> str:
    return (
        f"{bit.side} side: live {_show(study, bit.near_m)} to "
        f"{_show(study, bit.far_m)} from the edge"
    )


def _show(study: Study, length_m: float) -> str:
    return show_length(Metre(length_m), study.layout.settings.lengths)


RULE = Rule(
    "W507",
    Severity.FAULT,
    "Approach of an opening is live",
    source="0.9 m dead on both sides by the gate's own contact (common practice, no "
    "source).",
    check=check,
)
