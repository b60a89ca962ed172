"""W105: two tracks cross with nothing between them."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.cross import add_crossing, crossing_at
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.meeting import LEVEL_MM, PlanCrossing, find_plan_crossings
from core.layout.parts import RunEnd, TrackRun, Turnout
from core.layout.queries import run_name

CLEAR_M = 0.05
"""The way of a turnout's leg is the turnout's own this far beyond its crossing. [m]

House choice.
"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each place where tracks cross on one level, bare.

    Tracks that pass over each other, and the leg of a turnout beside its own through
    track, are none.
    """
    layout = study.layout
    for found in find_plan_crossings(layout):
        if not found.is_level or crossing_at(layout, found) is not None:
            continue
        if not any(_is_within(layout, t, found) for t in layout.of_kind(Turnout)):
            yield _finding(layout, found)


def _finding(layout: Layout, found: PlanCrossing) -> Finding:
    a, b = run_name(layout, found.a.run), run_name(layout, found.b.run)
    who = f"{a} and {b} cross" if found.a.run != found.b.run else f"{a} crosses itself"
    return RULE.finding(
        f"{who} on one level, and no crossing is laid there.",
        f"{found.apart_mm:.0f} mm apart in height; up to {LEVEL_MM:.0f} mm counts as "
        "one level",
        "Lay a crossing there; if one passes over the other, give each its own height.",
        parts=tuple(dict.fromkeys((found.a.run, found.b.run))),
        place=found.a,
        fix=_fix(layout, found),
    )


def _fix(layout: Layout, found: PlanCrossing) -> Change | None:
    try:
        return add_crossing(layout, found.a, found.b)
    except EditError:
        return None  # two crossings on one spot: only a person can tell


def _is_within(layout: Layout, turnout: Turnout, found: PlanCrossing) -> bool:
    """Return whether a place lies between the blades and crossing of a turnout."""
    if {found.a.run, found.b.run} != {turnout.on.run, turnout.leg.run}:
        return False
    reach = turnout.lead_m + CLEAR_M
    for leg, through in ((found.a, found.b), (found.b, found.a)):
        if leg.run != turnout.leg.run or through.run != turnout.on.run:
            continue
        near = abs(through.position_m - turnout.on.position_m) <= reach
        if near and abs(leg.position_m - _end_m(layout, turnout.leg)) <= reach:
            return True
    return False


def _end_m(layout: Layout, end: RunEnd) -> float:
    if end.end == "start":
        return 0.0
    return run_path(layout.need(end.run, TrackRun)).length_m


RULE = Rule(
    "W105",
    Severity.ADVICE,
    "Tracks cross, nothing between",
    source="Plan geometry; the height that counts as one level is common practice, no "
    "source.",
    check=check,
)
