"""Join track: end to end, and a leg to the side of a run."""

from math import atan2, cos, hypot, pi, radians, sin

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, place_on
from core.layout.geometry import Path, Pose, run_path
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    OnRun,
    RunEnd,
    Side,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import ends_of
from core.materials.scales import gauge_m

MEET_MM = 2.0
"""Run ends this close count as meeting. [mm]"""

MEET_RAD = radians(3.0)
"""Run ends that differ less in direction count as in line. [rad]"""

LEAD_M = 0.15
"""Blade tips to crossing where the drawing does not tell (house choice). [m]"""

_LEAD_STEP_M = 0.005
_LEAD_MOST_M = 2.0


def end_pose(layout: Layout, end: RunEnd) -> Pose:
    """Return the place of a run end, looking out of the run."""
    path = run_path(layout.need(end.run, TrackRun))
    return path.end if end.end == "end" else path.start.reversed()


def is_free(layout: Layout, end: RunEnd) -> bool:
    """Return whether nothing holds a run end yet."""
    return all(held != end for _, held in ends_of(layout, end.run))


def do_meet(layout: Layout, a: RunEnd, b: RunEnd) -> bool:
    """Return whether two run ends lie rail to rail."""
    one, other = end_pose(layout, a), end_pose(layout, b)
    apart = hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
    turned = one.heading - other.heading - pi
    return apart <= MEET_MM and abs(atan2(sin(turned), cos(turned))) <= MEET_RAD


def join_run_ends(
    layout: Layout, a: RunEnd, b: RunEnd, *, joint: str | None = None
) -> Change:
    """Return the change that joins two run ends which meet.

    Raises
    ------
    EditError
        An end is taken already, or the ends do not meet in line.
    """
    if a == b:
        raise EditError("A track end cannot be joined to itself.")
    for end in (a, b):
        if not is_free(layout, end):
            raise EditError(
                f"The {end.end} of {end.run} is joined already.",
                "Take that joint away first.",
            )
    if not do_meet(layout, a, b):
        raise EditError(
            f"The {a.end} of {a.run} and the {b.end} of {b.run} do not meet in line.",
            "Draw the track up to the other end.",
        )
    draft = Draft(layout)
    run = layout.need(a.run, TrackRun)
    made = TrackJoint(
        id=draft.new_id(PREFIXES["joint"]), a=a, b=b, joint=joint or run.joint
    )
    draft.put(made)
    return draft.change(f"Join {a.run} and {b.run}")


def close_run(layout: Layout, run: TrackRun) -> Change:
    """Return the change that joins a run's end to its own start."""
    return join_run_ends(
        layout, RunEnd(run=run.id, end="end"), RunEnd(run=run.id, end="start")
    )


def make_turnout(layout: Layout, on: OnRun, leg: RunEnd) -> Change:
    """Return the change that lets a run begin, or end, on the side of another.

    Which way it opens, its hand and its lead are read off the drawing.

    Raises
    ------
    EditError
        The leg's end is joined already, lies elsewhere, or leaves crosswise.
    """
    on = place_on(layout, on)
    if not is_free(layout, leg):
        raise EditError(
            f"The {leg.end} of {leg.run} is joined already.",
            "Take that joint away first.",
        )
    through = run_path(layout.need(on.run, TrackRun))
    toe, out = through.at(on.position_m), end_pose(layout, leg).reversed()
    if hypot(toe.x_mm - out.x_mm, toe.y_mm - out.y_mm) > MEET_MM:
        raise EditError(
            f"The {leg.end} of {leg.run} does not lie on {on.run} there.",
            "Draw the leg from a point on the track.",
        )
    along = cos(out.heading - toe.heading)
    if abs(along) < cos(MEET_RAD * 2):
        raise EditError(
            f"{leg.run} leaves {on.run} at an angle.",
            "A turnout's leg begins in line with the track it leaves.",
        )
    draft = Draft(layout)
    leg_path = run_path(layout.need(leg.run, TrackRun))
    run = layout.need(on.run, TrackRun)
    made = Turnout(
        id=draft.new_id(PREFIXES["turnout"]),
        on=on,
        opens="forward" if along > 0 else "backward",
        hand=_hand(through, out, leg_path, leg),
        leg=leg,
        lead_m=_lead(
            through, leg_path, leg, gauge_mm=1000.0 * gauge_m(layout.settings.scale)
        ),
        joint=run.joint,
    )
    draft.put(made)
    return draft.change(f"Add turnout {made.id}")


def move_toe(layout: Layout, turnout: Turnout, on: OnRun) -> Change:
    """Return the change that gives a turnout another place on the run."""
    draft = Draft(layout)
    draft.put(replace(turnout, on=place_on(layout, on)))
    return draft.change(f"Move turnout {turnout.id}", f"toe {turnout.id}")


def _along_leg(path: Path, leg: RunEnd, distance_m: float) -> Pose:
    if leg.end == "start":
        return path.at(distance_m)
    return path.at(path.length_m - distance_m)


def _hand(through: Path, out: Pose, path: Path, leg: RunEnd) -> Side:
    """Return the side of the through track, which may curve, that the leg leaves to."""
    far = _along_leg(path, leg, min(path.length_m, 0.3))
    beside = through.at(through.nearest(far.x_mm, far.y_mm).position_m)
    dx, dy = far.x_mm - beside.x_mm, far.y_mm - beside.y_mm
    aside = -dx * sin(out.heading) + dy * cos(out.heading)
    return "left" if aside >= 0.0 else "right"


def _lead(through: Path, path: Path, leg: RunEnd, *, gauge_mm: float) -> float:
    """Return how far from the toe the centre lines are one gauge apart.

    There the inner rails cross: the crossing, or frog. For a leg of radius R off
    a straight it is √(2·R·gauge), nearly.
    """
    distance = _LEAD_STEP_M
    most = min(path.length_m, _LEAD_MOST_M)
    while distance <= most:
        pose = _along_leg(path, leg, distance)
        if through.nearest(pose.x_mm, pose.y_mm).distance_mm >= gauge_mm:
            return distance
        distance += _LEAD_STEP_M
    return min(LEAD_M, path.length_m)
