"""W119: a bridge that can be turned end for end, and nothing swaps its poles."""

from collections import defaultdict
from collections.abc import Iterator

from core.analysis.pits import Meeting, find_meetings
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.pits import best_split, stall_names
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.queries import part_name
from core.layout.turntables import is_swapping, turns_round
from core.units.figures import show_both_ways


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each plain bridge that comes to a fed stall either way.

    It agrees with the stall one way round, so it opposes it the other way.
    """
    pits: defaultdict[PartId, list[Meeting]] = defaultdict(list)
    for meeting in find_meetings(study):
        if turns_round(meeting.table) and not is_swapping(meeting.table):
            pits[meeting.table.id].append(meeting)
    for meetings in pits.values():
        bad = [m for m in meetings if m.opposes]
        if bad:
            yield _finding(study, meetings, bad)


def _finding(study: Study, meetings: list[Meeting], bad: list[Meeting]) -> Finding:
    table = meetings[0].table
    cut = best_split(study.layout, table, meetings)
    where = f" cut at {show_both_ways(cut)}" if cut is not None else ""
    return RULE.finding(
        f"{part_name(study.layout, table.id)} can be turned end for end, and nothing "
        f"swaps the poles of its bridge: at {stall_names(study.layout, bad)} one way "
        "round is a short.",
        f"{len(bad)} of {len(meetings)} ways to stand at a stall are reversed",
        f"Feed the bridge through a reverser, or give the pit a split ring{where}; or "
        "fit stops, so that it never turns right round.",
        parts=(table.id, table.bridge),
        place=bad[0].edge.place,
        size=float(1 + len(bad)),
        fix=refit(
            study.layout,
            (table.id,),
            f"Split the ring of {table.id}",
            ring="split",
            split_deg=cut,
        )
        if cut is not None
        else None,
    )


RULE = Rule(
    "W119",
    Severity.FAULT,
    "Bridge without a change-over",
    source="Turned by half a circle the left rail is where the right one was (parity "
    "of the rails, by angle).",
    check=check,
)
