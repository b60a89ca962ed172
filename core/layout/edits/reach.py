"""Bring the end of a track that nearly meets a pit to the pit's edge."""

from math import cos, hypot, sin, sqrt

from core.layout.change import Change
from core.layout.edits.draft import Draft, needed
from core.layout.edits.shape import extend_run, set_pieces, shortened
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import RunEnd, Straight, TrackRun, Turntable
from core.layout.queries import run_name
from core.layout.turntables import bridge_middle, faces_pit, out_pose

LEAST_MM = 0.01
"""Track is not made longer or shorter by less. [mm]"""


def reach_pit(layout: Layout, table_id: PartId, end: RunEnd) -> Change | None:
    """Return the change that makes a run end a stall of a pit it nearly meets.

    The track is made longer, straight on, or shorter from its end. None where it
    would miss the bridge's line all the same, or is too short, or begins in the pit.
    """
    table = needed(layout, table_id, Turntable)
    missing = _missing_mm(layout, table, end)
    if missing is None:
        return None
    label = f"Lead {run_name(layout, end.run)} up to {table.id}"
    change = _moved(layout, table, end, missing)
    if change is None:
        return None
    after = layout.copy()
    after.apply(change)
    there = after.need(table.id, Turntable)
    if end not in there.stalls or not faces_pit(after, there, end):
        return None
    return Change(label, change.before, change.after)


def _moved(
    layout: Layout, table: Turntable, end: RunEnd, missing_mm: float
) -> Change | None:
    if missing_mm > LEAST_MM:
        more = (Straight(length_mm=round(missing_mm, 3)),)
        return extend_run(layout, end.run, more, at=end.end)
    if missing_mm >= -LEAST_MM:
        draft = Draft(layout)
        draft.put(table)  # what faces it is found anew
        return draft.change("")
    if end.end == "start":
        return None
    pieces = shortened(needed(layout, end.run, TrackRun), -missing_mm)
    return set_pieces(layout, end.run, pieces) if pieces else None


def _missing_mm(layout: Layout, table: Turntable, end: RunEnd) -> float | None:
    """Return how much longer a track must be to end at the edge, straight on. [mm]"""
    pose = out_pose(layout, end)
    if pose is None:
        return None
    ux, uy = cos(pose.heading), sin(pose.heading)
    dx, dy = pose.x_mm - table.x_mm, pose.y_mm - table.y_mm
    half = 0.5 * table.across_mm
    if faces_pit(layout, table, end):
        return 0.0
    if table.form == "turntable":
        # |d + s·u| = half; of the two places the one where the track comes in.
        along = dx * ux + dy * uy
        inside = along**2 - hypot(dx, dy) ** 2 + half**2
        return -along - sqrt(inside) if inside >= 0.0 else None
    middle = bridge_middle(layout, table)
    if middle is None:
        return None
    ahead = dx * cos(middle.heading) + dy * sin(middle.heading)
    towards = ux * cos(middle.heading) + uy * sin(middle.heading)
    if abs(towards) < 0.5:
        return None
    edge = half if ahead > 0.0 else -half
    return (edge - ahead) / towards
