"""How two tracks lie across each other: where each rail of one meets each of the other.

Inside a crossing both tracks are taken as straight. With g the gauge and φ the angle
from the way of `a` to the way of `b`, the rail of `a` that lies u to the left of its
centre line meets the rail of `b` that lies v to the left of its own at

    x = (u·cos φ − v) / sin φ    along a,        s = x·cos φ + u·sin φ    along b,

from where the centre lines cross: two lines in plan geometry. The two meetings far
out, (g/2)·cot(θ/2) along each track for tracks at the sharp angle θ, are the acute
crossings; the two near the middle, at (g/2)·tan(θ/2), the obtuse ones. On tracks
drawn the same way left meets right at the acute ones and left meets left at the
obtuse ones; on tracks drawn against each other it is the other way about.
"""

from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin

from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Crossing, Side, TrackRun
from core.materials.scales import gauge_m

SIDES: tuple[Side, Side] = ("left", "right")

LEAST_RAD = radians(3.0)
"""Tracks at a sharper angle are taken to lie at this one (house choice). [rad]

The acute crossings of tracks that hardly cross would be metres apart.
"""

SQUARE_RAD = radians(5.0)
"""This near to a right angle no two meetings are the acute ones (house choice). [rad]

Which two they are must not hang on a rounding error.
"""


@dataclass(frozen=True, slots=True)
class Meeting:
    """One rail of `a` across one rail of `b`.

    Attributes
    ----------
    a_side, b_side : Side
        Which rail, as seen on its own run.
    a_m, b_m : float
        Where on its run; held inside it. [m]
    a_ahead, b_ahead : bool
        Whether it lies beyond the middle of the crossing, along that run.
    acute : bool
        Whether it is one of the two at the sharp angles; False at a square crossing.
    """

    a_side: Side
    b_side: Side
    a_m: float
    b_m: float
    a_ahead: bool
    b_ahead: bool
    acute: bool

    @property
    def name(self) -> str:
        """A word for it that is unlike the other three: "left_right"."""
        return f"{self.a_side}_{self.b_side}"


@dataclass(frozen=True, slots=True)
class Lie:
    """How the two tracks of a crossing lie.

    Attributes
    ----------
    angle : float
        From the way of run `a` to the way of run `b`, −π to π. [rad]
    square : bool
        Whether they cross at a right angle, or nearly.
    swapped : bool
        Whether they were drawn against each other: the left rail of one lies as the
        right one of the other. Means nothing at a square crossing.
    meetings : tuple of Meeting
        Left of `a` with left and right of `b`, then right of `a` likewise.
    """

    angle: float
    square: bool
    swapped: bool
    meetings: tuple[Meeting, Meeting, Meeting, Meeting]

    @property
    def sharp_deg(self) -> float:
        """The angle that a builder names: between the tracks, at most 90. [°]"""
        turned = abs(degrees(self.angle))
        return min(turned, 180.0 - turned)

    @property
    def half_a_m(self) -> float:
        """How far the crossing reaches from its middle along run `a`. [m]"""
        places = [meeting.a_m for meeting in self.meetings]
        return 0.5 * (max(places) - min(places))

    @property
    def b_leaves_left(self) -> bool:
        """Whether `b`, walked the way that `a` goes, leaves to the left of `a`."""
        return (self.angle > 0.0) != self.swapped


def lie_of(layout: Layout, crossing: Crossing) -> Lie | None:
    """Return how the tracks of a crossing lie; None where one is not there."""
    a = layout.get(crossing.a.run, TrackRun)
    b = layout.get(crossing.b.run, TrackRun)
    if a is None or b is None:
        return None
    gauge = gauge_m(layout.settings.scale)
    a_path, b_path = run_path(a), run_path(b)
    a_at = min(crossing.a.position_m, a_path.length_m)
    b_at = min(crossing.b.position_m, b_path.length_m)
    angle = turn(a_path.at(a_at).heading, b_path.at(b_at).heading)
    angle = _not_too_flat(angle)
    swapped = cos(angle) < 0.0
    square = abs(abs(angle) - 0.5 * pi) < SQUARE_RAD
    meetings: list[Meeting] = []
    for a_side in SIDES:
        for b_side in SIDES:
            u = 0.5 * gauge if a_side == "left" else -0.5 * gauge
            v = 0.5 * gauge if b_side == "left" else -0.5 * gauge
            x = (u * cos(angle) - v) / sin(angle)
            s = x * cos(angle) + u * sin(angle)
            meetings.append(
                Meeting(
                    a_side,
                    b_side,
                    min(max(a_at + x, 0.0), a_path.length_m),
                    min(max(b_at + s, 0.0), b_path.length_m),
                    a_ahead=x > 0.0,
                    b_ahead=s > 0.0,
                    acute=not square and (a_side == b_side) == swapped,
                )
            )
    first, second, third, fourth = meetings
    return Lie(angle, square, swapped, (first, second, third, fourth))


def turn(from_rad: float, to_rad: float) -> float:
    """Return the turn from one heading to another, −π to π. [rad]"""
    turned = to_rad - from_rad
    return atan2(sin(turned), cos(turned))


def slip_roads(crossing: Crossing, lie: Lie) -> tuple[Side, ...]:
    """Return on which sides of run `a` a slip road leads from track to track."""
    if lie.square or crossing.shape == "diamond":
        return ()
    return SIDES if crossing.shape == "double slip" else (crossing.side,)


def road_ends(lie: Lie, side: Side) -> tuple[bool, bool]:
    """Return the ends a slip road joins: whether each lies ahead of the middle.

    Of run `a`, then of run `b`, each along its own run. The road lies in the blunt
    angle on that side of `a`: where `b` leaves to the left, the left road comes from
    behind on `a` and goes on ahead on `b`.
    """
    a_ahead = (side == "left") != lie.b_leaves_left
    along_a = not a_ahead  # on b, walked the way that a goes
    return a_ahead, along_a != lie.swapped


def ties_like_rails(crossing: Crossing, lie: Lie) -> bool:
    """Return whether left is joined to left, or to right where `swapped`.

    By a slip road, or by obtuse crossings that are one metal. An uncut crossing
    joins all to all, and is another matter.
    """
    if slip_roads(crossing, lie):
        return True
    live = crossing.frog == "switched" and not lie.square
    return live and crossing.obtuse == "joined"


def _not_too_flat(angle: float) -> float:
    """Return an angle held away from 0 and π, where tracks never cross. [rad]"""
    sign = -1.0 if angle < 0.0 else 1.0
    return sign * min(max(abs(angle), LEAST_RAD), pi - LEAST_RAD)
