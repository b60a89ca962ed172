"""Join track: end to end, and a leg to the side of a run."""

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, radians, sin

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.cross import follow_tracks
from core.layout.edits.draft import Draft, needed, place_on
from core.layout.edits.pits import refuse_bridge
from core.layout.geometry import Path, Pose, run_path
from core.layout.ids import PartId
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
from core.layout.queries import ends_of, run_name
from core.materials.scales import gauge_m

MEET_MM = 2.0
"""Run ends this close count as meeting. [mm]"""

MEET_RAD = radians(3.0)
"""Run ends that differ less in direction count as in line. [rad]"""

TOE_MM = MEET_MM
"""A leg this close to its through run still belongs to it. [mm]"""

_SAME_MM = 1e-6
_SAME_RAD = 1e-9

LEAD_M = 0.15
"""Blade tips to crossing where the drawing does not tell (house choice). [m]"""

_LEAST_LEAD_M = 0.001
_MOST_LEAD_M = 2.0
_LEAD_STEP_M = 0.005
_LEAD_TOLERANCE_M = 1e-5
_HAND_AT_M = 0.3
"""How far along the leg its side is read off. [m]"""


def end_pose(layout: Layout, end: RunEnd) -> Pose:
    """Return the place of a run end, looking out of the run."""
    path = run_path(needed(layout, end.run, TrackRun))
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
        An end is not there or taken already, or the ends do not meet in line.
    """
    if a == b:
        raise EditError(
            "A track end cannot be joined to itself.",
            "Choose the end of another track.",
        )
    _need_free(layout, a, b)
    if not do_meet(layout, a, b):
        raise EditError(
            f"The {_named(layout, a)} and the {_named(layout, b)} do not meet in line.",
            "Draw the track up to the other end.",
        )
    draft = Draft(layout)
    run = needed(layout, a.run, TrackRun)
    made = TrackJoint(
        id=draft.new_id(PREFIXES["joint"]), a=a, b=b, joint=joint or run.joint
    )
    draft.put(made)
    return draft.change(f"Join {run_name(layout, a.run)} and {run_name(layout, b.run)}")


def close_run(layout: Layout, run_id: PartId) -> Change:
    """Return the change that joins a run's end to its own start, where they meet."""
    return join_run_ends(
        layout, RunEnd(run=run_id, end="end"), RunEnd(run=run_id, end="start")
    )


def make_turnout(layout: Layout, on: OnRun, leg: RunEnd) -> Change:
    """Return the change that lets a run begin, or end, on the side of another.

    Which way it opens, its hand and its lead are read off the drawing.

    Raises
    ------
    EditError
        The leg's end is joined already, lies elsewhere, or leaves crosswise; or
        the through track ends at the toe, or is a bridge.
    """
    on = place_on(layout, on)
    refuse_bridge(layout, on.run)
    _need_free(layout, leg)
    run = needed(layout, on.run, TrackRun)
    leg_path = run_path(needed(layout, leg.run, TrackRun))
    toe = run_path(run).at(on.position_m)
    out = end_pose(layout, leg).reversed()
    if hypot(toe.x_mm - out.x_mm, toe.y_mm - out.y_mm) > MEET_MM:
        raise EditError(
            f"The {_named(layout, leg)} does not lie on {run.name or run.id} there.",
            "Draw the leg from a point on the track.",
        )
    along = cos(out.heading - toe.heading)
    if abs(along) < cos(MEET_RAD * 2):
        raise EditError(
            f"{run_name(layout, leg.run)} leaves {run.name or run.id} at an angle.",
            "A turnout's leg begins in line with the track it leaves.",
        )
    forward = along > 0
    _need_track_ahead(layout, run, on, forward=forward)
    drawn = Beside(run_path(run), on.position_m, forward, leg_path, leg.end == "start")
    draft = Draft(layout)
    made = Turnout(
        id=draft.new_id(PREFIXES["turnout"]),
        on=on,
        opens="forward" if forward else "backward",
        hand="left" if drawn.hand_mm() >= 0.0 else "right",
        leg=leg,
        lead_m=drawn.lead_m(1000.0 * gauge_m(layout.settings.scale)),
        joint=run.joint,
    )
    draft.put(made)
    return draft.change(f"Add turnout {made.id}")


def read_turnout(layout: Layout, turnout: Turnout) -> Side:
    """Return on which side a turnout's leg leaves, as it is drawn."""
    return "left" if beside(layout, turnout).hand_mm() >= 0.0 else "right"


def beside(layout: Layout, turnout: Turnout) -> "Beside":
    """Return a turnout's leg beside the track it leaves."""
    return Beside(
        run_path(needed(layout, turnout.on.run, TrackRun)),
        turnout.on.position_m,
        turnout.opens == "forward",
        run_path(needed(layout, turnout.leg.run, TrackRun)),
        turnout.leg.end == "start",
    )


def part_loose_ends(draft: Draft) -> None:
    """Take away joints whose ends no longer meet, and turnouts without their leg.

    Crossings go along with their tracks, or are taken away likewise. Ends that did
    not meet before (in a file made elsewhere) and are no farther apart now are left
    as they are.
    """
    for joint in list(draft.view.of_kind(TrackJoint)):
        if do_meet(draft.view, joint.a, joint.b):
            continue
        was = draft.base.get(joint.id, TrackJoint)
        if was is None or _went_apart(
            _apart(draft.base, was.a, was.b), _apart(draft.view, joint.a, joint.b)
        ):
            draft.take_out(joint.id)
    for turnout in list(draft.view.of_kind(Turnout)):
        apart = _off_toe(draft.view, turnout)
        if apart <= TOE_MM:
            continue
        before = draft.base.get(turnout.id, Turnout)
        if before is None or apart > _off_toe(draft.base, before) + _SAME_MM:
            draft.take_out(turnout.id)
    follow_tracks(draft)


def _need_free(layout: Layout, *ends: RunEnd) -> None:
    for end in ends:
        needed(layout, end.run, TrackRun)
        if not is_free(layout, end):
            raise EditError(
                f"The {_named(layout, end)} is joined already.",
                "Take that joint away first.",
            )


def _need_track_ahead(
    layout: Layout, run: TrackRun, on: OnRun, *, forward: bool
) -> None:
    ahead = run_path(run).length_m - on.position_m if forward else on.position_m
    end = RunEnd(run=run.id, end="end" if forward else "start")
    if ahead < _LEAST_LEAD_M and is_free(layout, end):
        raise EditError(
            f"{run.name or run.id} ends there; there is no track to go straight on.",
            "Join the two ends, or draw the track on first.",
        )


def _named(layout: Layout, end: RunEnd) -> str:
    return f"{end.end} of {run_name(layout, end.run)}"


def _went_apart(before: tuple[float, float], now: tuple[float, float]) -> bool:
    return now[0] > before[0] + _SAME_MM or now[1] > before[1] + _SAME_RAD


def _apart(layout: Layout, a: RunEnd, b: RunEnd) -> tuple[float, float]:
    """Return how far two run ends are apart, and how far out of line. [mm, rad]"""
    one, other = end_pose(layout, a), end_pose(layout, b)
    turned = one.heading - other.heading - pi
    return (
        hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm),
        abs(atan2(sin(turned), cos(turned))),
    )


def _off_toe(layout: Layout, turnout: Turnout) -> float:
    """Return how far a leg begins from its toe. [mm]"""
    run = needed(layout, turnout.on.run, TrackRun)
    toe = run_path(run).at(turnout.on.position_m)
    leg = end_pose(layout, turnout.leg)
    return hypot(toe.x_mm - leg.x_mm, toe.y_mm - leg.y_mm)


@dataclass(frozen=True, slots=True)
class Beside:
    """A leg beside the track it leaves, both walked from the toe."""

    through: Path
    toe_m: float
    forward: bool
    leg: Path
    from_start: bool

    def aside_mm(self, distance_m: float) -> float:
        """Return how far left of the through track the leg is. [mm]

        Measured across the through track, as seen from the toe; past its end the
        track is thought to go straight on.
        """
        walked = distance_m if self.forward else -distance_m
        track = self.through.at(self.toe_m + walked)
        track = track if self.forward else track.reversed()
        along = distance_m if self.from_start else self.leg.length_m - distance_m
        there = self.leg.at(along)
        dx, dy = there.x_mm - track.x_mm, there.y_mm - track.y_mm
        return -dx * sin(track.heading) + dy * cos(track.heading)

    def hand_mm(self) -> float:
        """Return on which side the leg leaves: left is positive. [mm]"""
        return self.aside_mm(min(self.leg.length_m, _HAND_AT_M))

    def lead_m(self, gauge_mm: float) -> float:
        """Return how far from the toe the centre lines are one gauge apart. [m]

        There the inner rails cross: the crossing, or frog. For a leg of radius R
        off a straight it is R·acos(1 − gauge/R), nearly √(2·R·gauge).
        """
        low, high = 0.0, _LEAD_STEP_M
        most = min(self.leg.length_m, _MOST_LEAD_M)
        while high <= most and abs(self.aside_mm(high)) < gauge_mm:
            low, high = high, high + _LEAD_STEP_M
        if high > most:
            return max(min(LEAD_M, self.leg.length_m), _LEAST_LEAD_M)
        while high - low > _LEAD_TOLERANCE_M:
            middle = (low + high) / 2.0
            if abs(self.aside_mm(middle)) < gauge_mm:
                low = middle
            else:
                high = middle
        return round(high, 4)
