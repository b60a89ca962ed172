"""The next piece of a run: straight ahead, or a tangent arc to the pointer."""

from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, pi, radians, sin
from typing import Literal

from app.tools.snapping.steps import to_step
from core.layout.geometry import Pose, arc_to, piece_length_mm
from core.layout.parts import Arc, Piece, Straight
from core.units.length import show_length
from core.units.si import Metre

REACH_PX = 10.0
"""A round angle pulls from this far. [px]"""

STRAIGHT_DEG = 2.5
"""Within this of dead ahead a piece is straight. [°]"""

STEP_DEG = 15.0
"""Sweeps and headings that are multiples of this are round. [°]"""

LEAST_MM = 1.0
"""Nothing shorter than this is drawn. [mm]"""

LEAST_RADIUS_MM = 20.0
"""Nothing tighter than this is drawn. [mm]"""

MOST_SWEEP_DEG = 345.0
"""One arc never comes round to where it began. [°]"""


@dataclass(frozen=True, slots=True)
class Aiming:
    """How finely the pointer is to be read.

    Attributes
    ----------
    step_mm : float
        Round lengths are multiples of this. [mm]
    mm_per_px : float
        How much plan one pixel covers. [mm]
    loose : bool
        Whether nothing is to be rounded.
    """

    step_mm: float
    mm_per_px: float
    loose: bool = False


def first_straight(
    start: tuple[float, float], to: tuple[float, float], how: Aiming
) -> tuple[float, Straight] | None:
    """Return heading [°] and piece from a free start to the pointer."""
    dx, dy = to[0] - start[0], to[1] - start[1]
    length, heading = hypot(dx, dy), atan2(dy, dx)
    if length < LEAST_MM:
        return None
    if not how.loose:
        round_to = radians(to_step(degrees(heading), STEP_DEG))
        if length * abs(sin(heading - round_to)) <= REACH_PX * how.mm_per_px:
            length *= cos(heading - round_to)
            heading = round_to
        length = max(to_step(length, how.step_mm), how.step_mm)
    return degrees(heading) % 360.0, Straight(length_mm=length)


def next_piece(pose: Pose, to: tuple[float, float], how: Aiming) -> Piece | None:
    """Return the piece that leaves a pose tangentially towards the pointer."""
    dx, dy = to[0] - pose.x_mm, to[1] - pose.y_mm
    chord = hypot(dx, dy)
    ahead = dx * cos(pose.heading) + dy * sin(pose.heading)
    aside = -dx * sin(pose.heading) + dy * cos(pose.heading)
    if chord < LEAST_MM:
        return None
    if _is_ahead(ahead, aside, how):
        length = ahead if how.loose else max(to_step(ahead, how.step_mm), how.step_mm)
        return Straight(length_mm=length)
    arc = arc_to(pose, *to)
    if arc is None:
        return None
    return arc if how.loose else _rounded(arc, pose, chord, how)


def typed_piece(
    pose: Pose, to: tuple[float, float], radius_mm: float, sweep_deg: float | None
) -> Arc:
    """Return an arc of a given radius, to the side that the pointer is on.

    Without a sweep it turns until the pointer is abreast of its end; a negative
    sweep turns to the other side.
    """
    dx, dy = to[0] - pose.x_mm, to[1] - pose.y_mm
    aside = -dx * sin(pose.heading) + dy * cos(pose.heading)
    side = -1.0 if aside < -LEAST_MM else 1.0
    if sweep_deg is None:
        cx, cy = pose.left(side * radius_mm)
        start = atan2(pose.y_mm - cy, pose.x_mm - cx)
        swept = (side * (atan2(to[1] - cy, to[0] - cx) - start)) % (2 * pi)
        sweep_deg = max(to_step(degrees(swept), 1.0), 1.0)
    sweep_deg = max(-MOST_SWEEP_DEG, min(sweep_deg, MOST_SWEEP_DEG))
    return Arc(radius_mm=radius_mm, sweep_deg=side * sweep_deg)


def describe_piece(piece: Piece, lengths: Literal["m", "ft"]) -> str:
    """Return what is being drawn, such as "arc, radius 600 mm, 90° to the left"."""
    if isinstance(piece, Straight):
        return f"straight, {_length(piece.length_mm, lengths)}"
    side = "left" if piece.sweep_deg > 0 else "right"
    return (
        f"arc, radius {_length(piece.radius_mm, lengths)}, "
        f"{abs(piece.sweep_deg):.4g}° to the {side}, "
        f"{_length(piece_length_mm(piece), lengths)} long"
    )


def _length(length_mm: float, lengths: Literal["m", "ft"]) -> str:
    return show_length(Metre(length_mm / 1000.0), lengths)


def _is_ahead(ahead: float, aside: float, how: Aiming) -> bool:
    if ahead <= 0:
        return False
    near = 0.5 * REACH_PX * how.mm_per_px
    return abs(aside) <= max(near, ahead * sin(radians(STRAIGHT_DEG)))


def _rounded(arc: Arc, pose: Pose, chord: float, how: Aiming) -> Arc | None:
    """Pull the sweep to a round turn or heading, and the radius to a round length."""
    sign = 1.0 if arc.sweep_deg > 0 else -1.0
    heading = degrees(pose.heading)
    turn = to_step(arc.sweep_deg, STEP_DEG)
    square = to_step(heading + arc.sweep_deg, 2 * STEP_DEG) - heading
    sweep = min((turn, square), key=lambda s: abs(s - arc.sweep_deg))
    moved = chord * abs(sin(radians(sweep - arc.sweep_deg) / 2.0))
    if moved > REACH_PX * how.mm_per_px or sweep * sign <= 0:
        sweep = arc.sweep_deg
    sweep = sign * min(abs(sweep), MOST_SWEEP_DEG)
    radius = chord / (2.0 * sin(radians(abs(sweep)) / 2.0))
    radius = max(to_step(radius, how.step_mm), LEAST_RADIUS_MM)
    return Arc(radius_mm=radius, sweep_deg=sweep)
