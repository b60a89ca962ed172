"""Turntables as rules see them: where to cut the ring, whose drops feed a stall."""

from collections.abc import Sequence
from itertools import pairwise
from math import degrees

from msgspec.structs import replace

from core.analysis.pits import Meeting
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.edits.sides import other_side
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, Part, RunEnd, Turnout, Turntable
from core.layout.queries import drops_on, ends_of, run_name
from core.layout.turntables import (
    bridge_middle,
    half_of,
    off_swap_line_deg,
    stall_deg,
)

DEAD_DEG = 5.0
"""A stall is at least this far from the line where the poles change over. [°]

Common practice, no source: pick-ups are wide, and a bridge that stands a little off
must not find them on both halves.
"""


def stall_name(layout: Layout, number: int, end: RunEnd) -> str:
    """Return a stall in words, such as "stall 3 (Shed 3)"."""
    return f"stall {number} ({run_name(layout, end.run)})"


def stall_names(layout: Layout, meetings: Sequence[Meeting]) -> str:
    """Return the stalls of meetings in words, each once."""
    names = [stall_name(layout, m.position.number, m.position.stall) for m in meetings]
    return list_names(list(dict.fromkeys(names)))


def best_split(
    layout: Layout, table: Turntable, meetings: Sequence[Meeting]
) -> float | None:
    """Return where to cut the ring so that all is well at every stall. [°]

    The place with the most room to the stalls beside it, at least `DEAD_DEG`; None
    where the stalls as they are fed leave none.
    """
    middle = bridge_middle(layout, table)
    found = (stall_deg(layout, table, stall) for stall in table.stalls)
    angles = sorted({round(a % 180.0, 3) for a in found if a is not None})
    if middle is None or not angles:
        return None
    now = degrees(middle.heading)
    lines = [0.5 * (a + b) for a, b in pairwise([*angles, angles[0] + 180.0])]
    across = 90.0 if table.pickups == "sides" else 0.0
    tried: list[tuple[float, float]] = []
    for line in lines:
        cut = round((line + across) % 180.0, 1) % 180.0
        there = replace(table, ring="split", split_deg=cut)
        room = min(off_swap_line_deg(there, angle) for angle in angles)
        if room >= DEAD_DEG and not any(_opposes(there, now, m) for m in meetings):
            tried.append((-room, cut))
    return min(tried)[1] if tried else None


def own_drops(layout: Layout, end: RunEnd) -> tuple[Drop, ...]:
    """Return the drops that alone feed a stall which leads nowhere else, or none.

    Their wires can be swapped, and nothing but the way across the pit changes.
    """
    if any(held != end for _, held in ends_of(layout, end.run)):
        return ()
    for part in layout.parts.values():
        if isinstance(part, Gap | Turnout) and part.on.run == end.run:
            return ()
    return drops_on(layout, end.run)


def swapped_drops(layout: Layout, drops: Sequence[Drop], label: str) -> Change:
    """Return the change that solders drops the other way round."""
    before: dict[PartId, Part | None] = {d.id: layout.parts[d.id] for d in drops}
    after: dict[PartId, Part | None] = {
        d.id: replace(d, a_rail=other_side(d.a_rail)) for d in drops
    }
    return Change(label, before, after)


def _opposes(table: Turntable, now_deg: float, meeting: Meeting) -> bool:
    """Return whether poles would differ with the ring cut as the table says."""
    edge, position = meeting.edge, meeting.position
    if edge.reversers:
        return False
    turned = position.angle_deg + (180.0 if position.by == "start" else 0.0)
    bridge = -edge.before_v if position.swapped else edge.before_v
    if half_of(table, turned) != half_of(table, now_deg):
        bridge = -bridge
    return bridge * edge.after_v < 0.0
