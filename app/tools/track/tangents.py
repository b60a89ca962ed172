"""Pieces from one pose to another, with no kink on the way."""

from math import atan2, cos, degrees, hypot, isclose, radians, sin, sqrt, tan

from app.tools.track.aim import LEAST_RADIUS_MM
from core.layout.geometry import Pose, arc_to
from core.layout.parts import Arc, Piece, Straight

PLACE_MM = 0.05
"""Ends closer than this are one place. [mm]"""

ANGLE = radians(0.05)
"""Headings closer than this are one direction. [rad]"""

MOST_TURN_DEG = 400.0
"""A link that turns more than this altogether is no link. [°]"""


def link_poses(start: Pose, end: Pose) -> tuple[Piece, ...] | None:
    """Return pieces from one pose to another, tangent at both; None if too tight.

    Tried in order: one straight; one arc; straight and arc (two lines that meet
    are rounded off with the greatest radius that fits); two arcs. Two arcs leave
    equal lengths `d` from both poses to the corners of their common tangent,
    which gives 2(1 − t₁·t₂)d² + 2 v·(t₁ + t₂)d − v·v = 0, with v the way between.
    """
    for way in (_one_straight, _one_arc, _corner, _two_arcs):
        pieces = way(start, end)
        if pieces is not None and is_buildable(pieces):
            return pieces
    return None


def is_buildable(pieces: tuple[Piece, ...]) -> bool:
    """Return whether no arc is too tight and it does not go round and round."""
    arcs = [p for p in pieces if isinstance(p, Arc)]
    turn = sum(abs(a.sweep_deg) for a in arcs)
    return (
        bool(pieces)
        and all(a.radius_mm >= LEAST_RADIUS_MM for a in arcs)
        and turn <= MOST_TURN_DEG
    )


def total_turn_deg(pieces: tuple[Piece, ...]) -> float:
    """Return how much the pieces turn altogether, either way. [°]"""
    return sum(abs(p.sweep_deg) for p in pieces if isinstance(p, Arc))


def _one_straight(start: Pose, end: Pose) -> tuple[Piece, ...] | None:
    ahead, aside = _seen_from(start, end)
    if ahead <= 0 or abs(aside) > PLACE_MM or abs(_turn(start, end)) > ANGLE:
        return None
    return (Straight(length_mm=ahead),)


def _one_arc(start: Pose, end: Pose) -> tuple[Piece, ...] | None:
    arc = arc_to(start, end.x_mm, end.y_mm)
    if arc is None:
        return None
    left_over = start.heading + radians(arc.sweep_deg) - end.heading
    if abs(atan2(sin(left_over), cos(left_over))) > ANGLE:
        return None
    return (arc,)


def _corner(start: Pose, end: Pose) -> tuple[Piece, ...] | None:
    turn = _turn(start, end)
    if abs(sin(turn)) < ANGLE:
        return None
    ahead, aside = _seen_from(start, end)
    after = aside / sin(turn)
    before = ahead - after * cos(turn)
    if before < PLACE_MM or after < PLACE_MM:
        return None
    shared = min(before, after)
    pieces: list[Piece] = []
    if before - shared > PLACE_MM:
        pieces.append(Straight(length_mm=before - shared))
    radius = shared / tan(abs(turn) / 2.0)
    pieces.append(Arc(radius_mm=radius, sweep_deg=degrees(turn)))
    if after - shared > PLACE_MM:
        pieces.append(Straight(length_mm=after - shared))
    return tuple(pieces)


def _two_arcs(start: Pose, end: Pose) -> tuple[Piece, ...] | None:
    t1 = (cos(start.heading), sin(start.heading))
    t2 = (cos(end.heading), sin(end.heading))
    v = (end.x_mm - start.x_mm, end.y_mm - start.y_mm)
    length = _common_length(v, t1, t2)
    if length is None:
        return None
    middle = (
        (start.x_mm + end.x_mm + length * (t1[0] - t2[0])) / 2.0,
        (start.y_mm + end.y_mm + length * (t1[1] - t2[1])) / 2.0,
    )
    first = _piece_to(start, middle)
    if first is None:
        return None
    sweep = first.sweep_deg if isinstance(first, Arc) else 0.0
    turned = start.heading + radians(sweep)
    second = _piece_to(Pose(*middle, turned), (end.x_mm, end.y_mm))
    return None if second is None else (first, second)


def _common_length(
    v: tuple[float, float], t1: tuple[float, float], t2: tuple[float, float]
) -> float | None:
    square = v[0] * v[0] + v[1] * v[1]
    along = v[0] * (t1[0] + t2[0]) + v[1] * (t1[1] + t2[1])
    apart = 2.0 * (1.0 - (t1[0] * t2[0] + t1[1] * t2[1]))
    if square < PLACE_MM**2:
        return None
    if isclose(apart, 0.0, abs_tol=1e-9):
        return square / (2.0 * along) if along > PLACE_MM else None
    return (-along + sqrt(along * along + apart * square)) / apart


def _piece_to(pose: Pose, to: tuple[float, float]) -> Piece | None:
    arc = arc_to(pose, *to)
    if arc is not None:
        return arc
    ahead = (to[0] - pose.x_mm) * cos(pose.heading)
    ahead += (to[1] - pose.y_mm) * sin(pose.heading)
    if ahead <= PLACE_MM:
        return None
    return Straight(length_mm=hypot(to[0] - pose.x_mm, to[1] - pose.y_mm))


def _seen_from(start: Pose, end: Pose) -> tuple[float, float]:
    dx, dy = end.x_mm - start.x_mm, end.y_mm - start.y_mm
    c, s = cos(start.heading), sin(start.heading)
    return dx * c + dy * s, -dx * s + dy * c


def _turn(start: Pose, end: Pose) -> float:
    between = end.heading - start.heading
    return atan2(sin(between), cos(between))
