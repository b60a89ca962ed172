"""Add a helix: one run of one arc that goes round several times, and climbs."""

from math import degrees

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import add_run
from core.layout.edits.draft import Draft
from core.layout.edits.join import end_pose, join_run_ends
from core.layout.geometry import Pose
from core.layout.layout import Layout
from core.layout.parts import Arc, Point, RunEnd, Side, TrackRun
from core.layout.queries import level_mm_at

LEAST_TURNS, MOST_TURNS = 0.25, 99.0
"""A helix has no fewer turns than this, and no more. [1]"""


def add_helix(
    layout: Layout,
    start: Pose | RunEnd,
    radius_mm: float,
    turns: float,
    rise_mm: float,
    *,
    hand: Side = "left",
) -> Change:
    """Return the change that adds a helix as a length of track.

    Parameters
    ----------
    start : Pose or RunEnd
        Where it begins and which way; or the free end that it goes on from, which it
        is joined to and takes its height from. [mm, rad]
    radius_mm : float
        Of its centre line. [mm]
    turns : float
        How often it goes round. [1]
    rise_mm : float
        How much it climbs each turn; negative goes down. [mm]
    hand : "left" or "right"
        Which way it turns as it is walked; left is counter-clockwise from above.

    Raises
    ------
    EditError
        The turns are too few or too many, or the end is joined already.
    """
    if not LEAST_TURNS <= turns <= MOST_TURNS:
        raise EditError(
            f"A helix of {turns:g} turns is none.",
            f"Take {LEAST_TURNS:g} to {MOST_TURNS:g} turns.",
        )
    pose = end_pose(layout, start) if isinstance(start, RunEnd) else start
    sign = 1.0 if hand == "left" else -1.0
    arc = Arc(radius_mm=radius_mm, sweep_deg=sign * 360.0 * turns)
    corner = Point(x_mm=pose.x_mm, y_mm=pose.y_mm)
    base = add_run(layout, corner, degrees(pose.heading) % 360.0, (arc,))
    draft = Draft(layout)
    (made,) = (p for p in base.after.values() if isinstance(p, TrackRun))
    level = made.level_mm
    if isinstance(start, RunEnd):
        run = layout.need(start.run, TrackRun)
        level = level_mm_at(run, 0.0 if start.end == "start" else float("inf"))
        made = replace(
            made, rail=run.rail, piece_length_m=run.piece_length_m, joint=run.joint
        )
    made = draft.put(
        replace(
            made,
            name=f"Helix {made.id.removeprefix('R')}",
            level_mm=level,
            level_end_mm=level + turns * rise_mm if rise_mm else None,
        )
    )
    if isinstance(start, RunEnd):
        here = RunEnd(run=made.id, end="start")
        for part in join_run_ends(draft.view, start, here).after.values():
            assert part is not None, "a joint is added"
            draft.put(part)
    return draft.change(f"Add {made.name}")
