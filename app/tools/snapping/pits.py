"""The edges of pits: where a stall may begin or end, and which way it looks."""

from collections.abc import Iterable
from math import atan2, cos, degrees, hypot, radians, sin

from app.tools.pointer import OnPit, Snap
from app.tools.snapping.steps import to_step
from core.layout.geometry import Pose
from core.layout.layout import Layout
from core.layout.parts import Turntable
from core.layout.turntables import bridge_middle

EDGE_PX = 14.0
"""The edge of a pit pulls from this far, in and out. [px]"""

STEP_DEG = 2.5
"""Bearings of stalls that are multiples of this are round. [°]"""


def to_pit(
    layout: Layout,
    tables: Iterable[Turntable],
    point: tuple[float, float],
    mm_per_px: float,
    *,
    step_mm: float,
) -> Snap | None:
    """Return the place on the edge of a pit that a point is pulled to.

    Parameters
    ----------
    step_mm : float
        A traverser's stalls stand at multiples of this from its middle, a
        turntable's at round bearings; 0: anywhere. [mm]
    """
    for table in tables:
        edge = edge_pose(layout, table, point, step_mm=step_mm)
        if edge is None:
            continue
        apart = hypot(edge.x_mm - point[0], edge.y_mm - point[1])
        if apart <= EDGE_PX * mm_per_px:
            word = f"stall of {table.id}"
            on = OnPit(table.id)
            return Snap(edge.x_mm, edge.y_mm, "pit", on, edge.heading, word)
    return None


def edge_pose(
    layout: Layout, table: Turntable, point: tuple[float, float], *, step_mm: float
) -> Pose | None:
    """Return the place on a pit's edge nearest to a point, looking away from the pit.

    None at the very middle, or beside the sides of a traverser that have no stalls.
    """
    dx, dy = point[0] - table.x_mm, point[1] - table.y_mm
    half = 0.5 * table.across_mm
    if table.form == "turntable":
        if hypot(dx, dy) < 0.1 * half:
            return None
        turn = atan2(dy, dx)
        if step_mm > 0.0:
            turn = radians(to_step(degrees(turn), STEP_DEG))
        return Pose(table.x_mm + half * cos(turn), table.y_mm + half * sin(turn), turn)
    middle = bridge_middle(layout, table)
    if middle is None:
        return None
    axis = Pose(table.x_mm, table.y_mm, middle.heading)
    ahead = dx * cos(axis.heading) + dy * sin(axis.heading)
    aside = -dx * sin(axis.heading) + dy * cos(axis.heading)
    if step_mm > 0.0:
        aside = to_step(aside, step_mm)
    if abs(aside) > 0.5 * table.travel_mm:
        return None
    out = axis if ahead >= 0.0 else axis.reversed()
    foot = Pose(*axis.left(aside), out.heading)
    return Pose(
        foot.x_mm + half * cos(out.heading),
        foot.y_mm + half * sin(out.heading),
        out.heading,
    )
