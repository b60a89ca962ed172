"""W118: the ring of a turntable is cut where the bridge stands at a stall."""

from collections.abc import Iterator

from core.analysis.pits import end_place, find_meetings
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.pits import DEAD_DEG, best_split, stall_name
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Turntable
from core.layout.queries import part_name
from core.layout.turntables import is_swapping, off_swap_line_deg, stall_deg
from core.units.figures import show_both_ways


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each ring whose poles change over too near to a stall."""
    for table in study.layout.of_kind(Turntable):
        if not is_swapping(table):
            continue
        near: list[tuple[float, int]] = []
        for number, stall in enumerate(table.stalls, start=1):
            angle = stall_deg(study.layout, table, stall)
            if angle is not None:
                off = off_swap_line_deg(table, angle)
                if off < DEAD_DEG - 1e-6:
                    near.append((off, number))
        if near:
            yield _finding(study, table, sorted(near))


def _finding(study: Study, table: Turntable, near: list[tuple[float, int]]) -> Finding:
    layout = study.layout
    stalls = [table.stalls[number - 1] for _, number in near]
    names = [stall_name(layout, n, table.stalls[n - 1]) for _, n in near]
    meetings = [m for m in find_meetings(study) if m.table.id == table.id]
    cut = best_split(layout, table, meetings)
    label = f"Move the split of {table.id}"
    return RULE.finding(
        f"At {list_names(names)} the pick-ups of {part_name(layout, table.id)} stand "
        "on the cut of its ring: the bridge is dead there, or joins both halves.",
        f"{near[0][0]:.1f}° from the line of change, {DEAD_DEG:g}° is the least",
        f"Move the split of the ring to {show_both_ways(cut)}."
        if cut is not None
        else "Move the split to where no stall is, or feed the bridge through a "
        "reverser and a whole ring.",
        parts=(table.id, *dict.fromkeys(stall.run for stall in stalls)),
        place=end_place(study, stalls[0]),
        size=DEAD_DEG / max(near[0][0], 0.1),
        fix=refit(layout, (table.id,), label, split_deg=cut)
        if cut is not None
        else None,
    )


RULE = Rule(
    "W118",
    Severity.FAULT,
    "Ring cut at a stall",
    source="The dead place of a split ring lies where no track is (common practice, "
    "no source); 5° is a house choice.",
    check=check,
)
