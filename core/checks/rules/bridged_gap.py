"""W129: metal in a gap, so that it parts nothing."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Gap, TrackRun, Turnout
from core.layout.queries import part_name, place_name

AT_FROG_M = 0.05
"""A gap this near to a crossing is one of its own (house choice). [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each gap that metal bridges."""
    layout = study.layout
    for gap in layout.of_kind(Gap):
        if not gap.bridged:
            continue
        frog = _frog_at(layout, gap)
        yield RULE.finding(
            f"Metal joins the rails again in {part_name(layout, gap.id)} at "
            f"{place_name(layout, gap.on)}: {_so(frog)}.",
            "a gap with metal in it: joined, not parted",
            "Cut it open again, fill it with plastic, and prove with the buzzer that "
            "it is silent across.",
            parts=(gap.id, frog.id) if frog is not None else (gap.id,),
            place=gap.on,
            fix=refit(
                layout,
                (gap.id,),
                f"Note {gap.id} as cut and filled",
                bridged=False,
                filled=True,
            ),
        )


def _so(frog: Turnout | None) -> str:
    """Return what comes of it."""
    if frog is None:
        return "the track on its two sides is one"
    if frog.frog == "insulated":
        return (
            f"the frog of {frog.id} has the pole of one rail for good, and wheels "
            "from the other rail short it"
        )
    return (
        f"the frog of {frog.id} is one with the rail behind it, and shorts when "
        f"{frog.id} lies the other way"
    )


def _frog_at(layout: Layout, gap: Gap) -> Turnout | None:
    """Return the turnout whose crossing a gap belongs to, if it is one's."""
    for turnout in layout.of_kind(Turnout):
        ahead = turnout.opens == "forward"
        leads = turnout.lead_m if ahead else -turnout.lead_m
        if (
            turnout.on.run == gap.on.run
            and abs(turnout.on.position_m + leads - gap.on.position_m) <= AT_FROG_M
        ):
            return turnout
        leg = layout.get(turnout.leg.run, TrackRun)
        if leg is None or leg.id != gap.on.run:
            continue
        from_end = gap.on.position_m
        if turnout.leg.end == "end":
            from_end = run_path(leg).length_m - from_end
        if abs(from_end - turnout.lead_m) <= AT_FROG_M:
            return turnout
    return None


RULE = Rule(
    "W129",
    Severity.FAULT,
    "Metal in a gap",
    source="A gap parts the rails only while nothing conducts across it: common "
    "practice, no source.",
    check=check,
)
