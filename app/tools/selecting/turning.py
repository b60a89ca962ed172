"""A double click in a pit, or on a stall at it: the bridge comes to that stall."""

from math import hypot

from app.tools.pointer import Pointer
from core.layout.change import Change
from core.layout.edits.turn import turn_bridge
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import RunEnd, Turntable
from core.layout.queries import table_of
from core.layout.turntables import out_pose, tables_at

NEAR_PX, NEAR_MM = 24.0, 60.0
"""A stall's track counts as the stall this near to the pit. [px, mm]"""


def pit_under(layout: Layout, part: PartId | None) -> Turntable | None:
    """Return the turntable that a part is, or whose bridge it is."""
    if part is None:
        return None
    return layout.get(part, Turntable) or table_of(layout, part)


def turn_there(layout: Layout, at: Pointer) -> Change | None:
    """Return the change that a double click asks for, or None where it asks none.

    In the pit, or on its bridge, the stall nearest to the pointer is meant.
    """
    table = pit_under(layout, at.hit)
    if table is not None:
        apart = {
            number: _apart(layout, stall, at)
            for number, stall in enumerate(table.stalls, start=1)
        }
        if not apart:
            return None
        return turn_bridge(layout, table.id, min(apart, key=apart.__getitem__))
    if at.hit is None:
        return None
    near = max(NEAR_PX * at.mm_per_px, NEAR_MM)
    for table in tables_at(layout, at.hit):
        for number, stall in enumerate(table.stalls, start=1):
            if stall.run == at.hit and _apart(layout, stall, at) <= near:
                return turn_bridge(layout, table.id, number)
    return None


def _apart(layout: Layout, stall: RunEnd, at: Pointer) -> float:
    pose = out_pose(layout, stall)
    if pose is None:
        return float("inf")
    return hypot(pose.x_mm - at.x_mm, pose.y_mm - at.y_mm)
