"""What the next click of the run tool would add."""

from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, pi, radians, sin

from app.tools.pointer import OnPit, Pointer
from app.tools.snapping.pits import edge_pose
from app.tools.snapping.steps import round_step_mm, to_step
from app.tools.track.aim import (
    LEAST_MM,
    STEP_DEG,
    Aiming,
    first_straight,
    next_piece,
    typed_piece,
)
from app.tools.track.tangents import is_buildable, link_poses, total_turn_deg
from app.tools.track.trail import Added, Ending, Trail, walk
from app.tools.typed import TypedArc, TypedLength, read_piece
from core.layout.geometry import Pose, arc_to, run_path
from core.layout.layout import Layout
from core.layout.parts import Arc, OnRun, Piece, RunEnd, Straight, TrackRun, Turntable

CLOSE_PX = 12.0
"""The own start pulls from this far. [px]"""

IN_LINE_SHARE = 0.05
"""A straight way in is taken this near to the pointer. [sizes of the pit]"""

TOO_TIGHT = "too tight to join here"
"""What is said where no buildable piece reaches the track under the pointer."""


@dataclass(frozen=True, slots=True)
class _Goal:
    """What the pointer is on, and the poses in which a run may arrive there."""

    poses: tuple[Pose, ...]
    ending: Ending


def draft(layout: Layout, trail: Trail, at: Pointer, typed: str = "") -> Added | None:
    """Return what a click would add, or Enter with something typed."""
    lengths = layout.settings.lengths
    how = Aiming(round_step_mm(at.mm_per_px, lengths), at.mm_per_px, at.loose)
    if typed:
        return _typed(trail, at, how, read_piece(typed, lengths))
    goal = _goal(layout, trail, at)
    if goal is None:
        return _plain(trail, at, how)
    reached = _reach(trail, goal)
    if reached is not None:
        return reached
    plain = _plain(trail, at, how)
    return None if plain is None else replace(plain, refused=TOO_TIGHT)


def _goal(layout: Layout, trail: Trail, at: Pointer) -> _Goal | None:
    home = _home(layout, trail) if trail.clicks else None
    if home is not None and at.distance_to(home.x_mm, home.y_mm) <= (
        CLOSE_PX * at.mm_per_px
    ):
        return _Goal((home,), Ending("own start", "joins its own start"))
    snap, on = at.snap, at.snap.on
    if snap.heading is None:
        return None
    along = Pose(snap.x_mm, snap.y_mm, snap.heading)
    if isinstance(on, OnPit):
        pose = _at_pit(layout, trail, on, along)
        return _Goal((pose.reversed(),), Ending("pit", snap.word))
    if isinstance(on, RunEnd):
        return _Goal((along.reversed(),), Ending(on, f"joins the {snap.word}"))
    if isinstance(on, OnRun) and (trail.clicks or not _begins_on(trail, on)):
        ending = Ending(on, f"turnout {snap.word}")
        return _Goal((along, along.reversed()), ending)
    return None


def _at_pit(layout: Layout, trail: Trail, on: OnPit, along: Pose) -> Pose:
    """Return where a run arrives at a pit: in line with its start, if that is near.

    A track that is open yet, or looks at the pit's middle, goes straight in.
    """
    table = layout.need(on.table, Turntable)
    here = trail.pose
    straight = edge_pose(layout, table, (here.x_mm, here.y_mm), step_mm=0.0)
    if straight is None:
        return along
    apart = hypot(straight.x_mm - along.x_mm, straight.y_mm - along.y_mm)
    return straight if apart <= IN_LINE_SHARE * table.across_mm else along


def _begins_on(trail: Trail, on: OnRun) -> bool:
    return trail.begin.on is not None and trail.begin.on.run == on.run


def _home(layout: Layout, trail: Trail) -> Pose | None:
    """Return the pose in which a run arrives at its own other end."""
    on = trail.begin.on
    if on is None:
        return None if trail.begin.at_pit else trail.begin.pose
    if isinstance(on, OnRun):
        return None
    path = run_path(layout.need(on.run, TrackRun))
    return path.start if on.end == "end" else path.end.reversed()


def _reach(trail: Trail, goal: _Goal) -> Added | None:
    found: list[Added] = []
    for pose in goal.poses:
        if trail.is_open:
            found.extend(_back_to_begin(trail.begin.pose, pose, goal.ending))
            continue
        for start in _starts(trail):
            pieces = link_poses(start, pose)
            if pieces is not None and not _runs_along(trail, pieces):
                heading = None if trail.clicks else degrees(start.heading)
                found.append(Added(pieces, heading, goal.ending))
    return min(found, key=lambda a: total_turn_deg(a.pieces), default=None)


def _back_to_begin(begin: Pose, goal: Pose, ending: Ending) -> list[Added]:
    """Return the one piece that arrives at a pose from a place, direction open."""
    back = goal.reversed()
    arc = arc_to(back, begin.x_mm, begin.y_mm)
    piece: Piece
    if arc is not None:
        piece = Arc(radius_mm=arc.radius_mm, sweep_deg=-arc.sweep_deg)
        heading = back.heading + radians(arc.sweep_deg) + pi
    else:
        dx, dy = begin.x_mm - goal.x_mm, begin.y_mm - goal.y_mm
        length = dx * cos(back.heading) + dy * sin(back.heading)
        if length < LEAST_MM or isinstance(ending.on, OnRun):
            return []
        piece, heading = Straight(length_mm=length), goal.heading
    if not is_buildable((piece,)):
        return []
    return [Added((piece,), degrees(heading) % 360.0, ending)]


def _starts(trail: Trail) -> tuple[Pose, ...]:
    """Return the poses that the next piece may leave."""
    if trail.clicks or not isinstance(trail.begin.on, OnRun):
        return (trail.pose,)
    return (trail.pose, trail.pose.reversed())


def _runs_along(trail: Trail, pieces: tuple[Piece, ...]) -> bool:
    """Return whether a leg would not part from the track that it leaves."""
    is_leg = isinstance(trail.begin.on, OnRun) and not trail.clicks
    return is_leg and isinstance(pieces[0], Straight)


def _plain(trail: Trail, at: Pointer, how: Aiming) -> Added | None:
    to = (at.x_mm, at.y_mm)
    if trail.is_open:
        begin = trail.begin.pose
        first = first_straight((begin.x_mm, begin.y_mm), to, how)
        return None if first is None else Added((first[1],), first[0])
    pose = _facing(trail, to)
    piece = next_piece(pose, to, how)
    if piece is None or _runs_along(trail, (piece,)):
        return None
    return Added((piece,), None if trail.clicks else degrees(pose.heading))


def _facing(trail: Trail, to: tuple[float, float]) -> Pose:
    """Return the pose that the next piece leaves, of two the one facing a place."""
    return max(
        _starts(trail),
        key=lambda p: (
            (to[0] - p.x_mm) * cos(p.heading) + (to[1] - p.y_mm) * sin(p.heading)
        ),
    )


def _typed(
    trail: Trail, at: Pointer, how: Aiming, typed: TypedLength | TypedArc | None
) -> Added | None:
    if typed is None:
        return None
    to = (at.x_mm, at.y_mm)
    pose, heading = _facing(trail, to), None
    if trail.is_open:
        pose = Pose(pose.x_mm, pose.y_mm, _round_heading(pose, to, how))
    if not trail.clicks:
        heading = degrees(pose.heading)
    piece: Piece
    if isinstance(typed, TypedLength):
        piece = Straight(length_mm=typed.length_mm)
    else:
        piece = typed_piece(pose, to, typed.radius_mm, typed.sweep_deg)
    if _runs_along(trail, (piece,)):
        return None
    return Added((piece,), heading)


def _round_heading(pose: Pose, to: tuple[float, float], how: Aiming) -> float:
    dx, dy = to[0] - pose.x_mm, to[1] - pose.y_mm
    if hypot(dx, dy) < LEAST_MM:
        return pose.heading
    first = first_straight((pose.x_mm, pose.y_mm), to, how)
    if first is not None:
        return radians(first[0])
    return radians(to_step(degrees(atan2(dy, dx)), STEP_DEG))


def drawn_length_mm(trail: Trail, added: Added | None) -> float:
    """Return the length of a trail with what comes next. [mm]"""
    whole = trail if added is None else trail.plus(added)
    return walk(whole.begin.pose, whole.pieces).length_mm if whole.clicks else 0.0
