"""W125: a gap in one rail where two feeds meet."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.cuts import OneRailCut, find_one_rail_cuts
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.change import Change
from core.layout.edits.sides import other_side
from core.layout.parts import Gap, TrackJoint, Turnout
from core.layout.queries import place_name


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each one-rail cut between what two devices clear.

    Detection blocks behind one breaker are often cut in one rail only: there it
    is no fault.
    """
    for cut in find_one_rail_cuts(study):
        if len({study.clearing_of(feed) for feed in cut.feeds}) == 2:
            yield _finding(study, cut)


def _finding(study: Study, cut: OneRailCut) -> Finding:
    one, other = cut.feeds
    return RULE.finding(
        f"{cut.part} cuts only the {cut.rail} rail at "
        f"{place_name(study.layout, cut.on)}, where {one} and {other} meet: "
        f"the {other_side(cut.rail)} rail joins them.",
        "1 rail cut, 2 rails lead on",
        "Cut the other rail too: with a common rail two breakers trip together "
        "and detectors report ghosts.",
        parts=(cut.part, *cut.feeds),
        place=cut.on,
        fix=_fix(study, cut),
    )


def _fix(study: Study, cut: OneRailCut) -> Change | None:
    label = f"Cut both rails at {cut.part}"
    match study.layout.parts[cut.part]:
        case Gap():
            return refit(study.layout, (cut.part,), label, rails="both")
        case TrackJoint():
            return refit(study.layout, (cut.part,), label, insulated="both")
        case Turnout():
            return refit(study.layout, (cut.part,), label, leg_insulated="both")
        case _:
            return None


RULE = Rule(
    "W125",
    Severity.FAULT,
    "Only one rail gapped",
    source="Two rails for a digital district boundary (common practice, no source).",
    check=check,
)
