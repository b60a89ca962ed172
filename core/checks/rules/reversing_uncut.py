"""W111: track turns back on itself, and nothing parts its rails there."""

from collections.abc import Iterator

from core.analysis.probe import find_point
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.shorted import prospective_amps, show_short
from core.checks.ties import tie_among, tie_fix, tie_remedy
from core.checks.trail import trail_of_path
from core.checks.words import list_names
from core.errors import EditError
from core.layout.change import Change
from core.layout.layout import Layout
from core.layout.parts import Booster, Crossing, OnRun
from core.layout.queries import place_name, run_name
from core.network.reversing import ReversingPath, find_reversing
from core.proposals.gaps import CutPlan, cut_path, drops_inside, plan_cut
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each reversing path without a double gap."""
    for path in find_reversing(study.layout):
        if not path.gaps:
            yield _finding(study, path)


def _finding(study: Study, path: ReversingPath) -> Finding:
    layout = study.layout
    tie = tie_among(layout, path.links)
    plan = None if tie is not None else _plan(layout, path)
    runs = list(dict.fromkeys(hop.run for hop in path.hops))
    shorted = _shorted(study, path)
    severity, sum_ = RULE.severity, ""
    if shorted is not None:
        amps = prospective_amps(study, shorted.id)
        sum_ = f"; {show_short(shorted, amps)}"
        severity = RULE.severity if amps >= shorted.trip_a else Severity.HAZARD
    return RULE.finding(
        f"Track that goes round by {list_names([run_name(layout, r) for r in runs])} "
        f"comes back turned{_where(tie)}: its left rail meets its right one, a dead "
        "short.",
        f"closed way of {_length(layout, path.length_m)} over "
        f"{list_names(list(path.links))}, on which left and right swap an odd number "
        f"of times{sum_}",
        _remedy(layout, plan) if tie is None else tie_remedy(tie),
        parts=(*path.links, *runs),
        place=plan.first if plan is not None else _start(path),
        severity=severity,
        size=float("inf"),
        fix=_fix(layout, plan, tie),
        trail=trail_of_path(layout, path, (plan.first, plan.second) if plan else ()),
    )


def _where(tie: Crossing | None) -> str:
    return f" at {tie.shape} {tie.id}" if tie is not None else ""


def _fix(layout: Layout, plan: CutPlan | None, tie: Crossing | None) -> Change | None:
    if tie is not None:
        return tie_fix(layout, tie)
    return cut_path(layout, plan) if plan is not None else None


def _shorted(study: Study, path: ReversingPath) -> Booster | None:
    """Return a booster whose poles the path joins, if power reaches it."""
    metal = study.system.islands.metal
    segment = study.circuit.segments[find_point(study, _start(path)).segment]
    short = next(
        (
            short
            for short in study.shorts
            if metal[short.nodes[0]] == metal[segment.left0]
        ),
        None,
    )
    return study.layout.get(short.booster, Booster) if short is not None else None


def _plan(layout: Layout, path: ReversingPath) -> CutPlan | None:
    try:
        return plan_cut(layout, path)
    except EditError:
        return None  # no room for two gaps: the remedy says so


def _remedy(layout: Layout, plan: CutPlan | None) -> str:
    if plan is None:
        return "Make the track between its turnouts longer, then cut both rails twice."
    inside = drops_inside(layout, plan)
    feed = f", with {list_names(inside)} on it" if inside else ""
    words = (
        f"Cut both rails at {place_name(layout, plan.first)} and at "
        f"{place_name(layout, plan.second)}, and feed the "
        f"{_length(layout, plan.length_m)} between through a reverser{feed}."
    )
    if not plan.long_enough:
        words += (
            f" The longest train is {_length(layout, plan.longest_train_m)}: too long "
            "for that section."
        )
    return words


def _start(path: ReversingPath) -> OnRun:
    return OnRun(run=path.hops[0].run, position_m=path.hops[0].from_m)


def _length(layout: Layout, metres: float) -> str:
    return show_length(metres, layout.settings.lengths)


RULE = Rule(
    "W111",
    Severity.FAULT,
    "Reversing path not cut",
    source="Parity of the track: a closed way on which left and right swap an odd "
    "number of times joins the two rails.",
    check=check,
)
