"""Diamonds and slips on the plan: a lozenge, and a sign for each small crossing."""

from collections.abc import Iterator
from math import atan2, cos, hypot, radians, sin, tan

from core.layout.lie import Lie, Meeting, road_ends
from core.layout.parts import Crossing, Side
from core.network.crossings import CrossingPlan, plan_crossing
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.track import pose_of
from core.sheet.frame import Box
from core.sheet.marks import INK, SOFT, WHITE, XY, Circle, Line, Mark, Shape
from core.sheet.schedules.words import titled

LEAST_HALF = 3.2
"""The lozenge is never shorter than twice this. [mm of paper]"""

CROSSING_SIGN = 3.0
"""Length of the sign of an acute crossing in the key. [mm]"""

LEAST_WIDE = 0.8
NOSE, DOT = 1.5, 0.4
ROAD_SHARE, ROAD_STEPS = 0.8, 8


def draw_crossings(scene: Scene) -> None:
    """Draw all diamonds and slips with their ids and what they need."""
    for crossing in scene.parts(Crossing):
        plan = plan_crossing(scene.layout, crossing)
        if plan is not None:
            _draw(scene, plan)


def crossing_sign(at: XY, *, dead: bool) -> Iterator[Mark]:
    """Yield the sign of an acute crossing, as the key shows it."""
    x, y = at
    far = x + CROSSING_SIGN
    corners = (x, y), (far, y - 0.9), (far, y + 0.9)
    yield from _nose(corners, dead=dead)


def _draw(scene: Scene, plan: CrossingPlan) -> None:
    crossing, lie = plan.crossing, plan.lie
    a, b = pose_of(scene, crossing.a), pose_of(scene, crossing.b)
    at = scene.view.at(a.x_mm, a.y_mm)
    ways = tuple(
        scene.view.direction(cos(pose.heading), sin(pose.heading)) for pose in (a, b)
    )
    half = max(lie.half_a_m * 1000.0 / scene.view.scale, LEAST_HALF)
    corners = {
        meeting: _corner(at, ways, lie, meeting, half) for meeting in lie.meetings
    }
    marks: list[Mark] = [*_lozenge(at, tuple(corners.values()))]
    marks += [Line(_road(at, ways, lie, side, half), 0.45) for side in plan.roads]
    for meeting, corner in corners.items():
        marks += _sign(plan, meeting, corner, ways)
    reach = half + NOSE
    x, y = at
    scene.symbol(marks, Box(x - reach, y - reach, x + reach, y + reach))
    lines = [Words(titled(crossing.id, crossing.name), 8.5)]
    if plan.contacts:
        lines.append(Words(f"{plan.contacts} contacts", 8.5, ink=SOFT))
    scene.label(4, at, tuple(lines), reach)


def _corner(
    at: XY, ways: tuple[XY, ...], lie: Lie, meeting: Meeting, half: float
) -> XY:
    """Return a corner of the lozenge: along both tracks as far as the rails meet."""
    signs = [1.0 if ahead else -1.0 for ahead in (meeting.a_ahead, meeting.b_ahead)]
    x = 0.5 * sum(sign * way[0] for sign, way in zip(signs, ways, strict=True))
    y = 0.5 * sum(sign * way[1] for sign, way in zip(signs, ways, strict=True))
    if meeting.acute or lie.square:
        return at[0] + half * x, at[1] + half * y
    # The blunt corners lie across the long way, so far that it reads as a lozenge.
    wide = max(half * tan(0.5 * radians(lie.sharp_deg)), LEAST_WIDE)
    long = hypot(x, y) or 1.0
    return at[0] + wide * x / long, at[1] + wide * y / long


def _lozenge(at: XY, corners: tuple[XY, ...]) -> Iterator[Mark]:
    ring = tuple(sorted(corners, key=lambda p: atan2(p[1] - at[1], p[0] - at[0])))
    yield Shape(ring, WHITE)
    yield Line(ring, 0.35, INK, closed=True)


def _sign(
    plan: CrossingPlan, meeting: Meeting, corner: XY, ways: tuple[XY, ...]
) -> Iterator[Mark]:
    dead = meeting in plan.dead
    if not meeting.acute:
        yield Circle(*corner, DOT, WHITE if dead else INK, INK, 0.3)
        return
    signs = [1.0 if ahead else -1.0 for ahead in (meeting.a_ahead, meeting.b_ahead)]
    ends = [
        (corner[0] + sign * NOSE * way[0], corner[1] + sign * NOSE * way[1])
        for sign, way in zip(signs, ways, strict=True)
    ]
    spread = hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1])
    if spread < 0.8:  # too sharp an angle to be seen: open it
        ends = _opened(corner, ends)
    yield from _nose((corner, ends[0], ends[1]), dead=dead)


def _opened(corner: XY, ends: list[XY]) -> list[XY]:
    """Return the two ends of a nose, 0.8 mm apart. [mm of paper]"""
    x, y = 0.5 * (ends[0][0] + ends[1][0]), 0.5 * (ends[0][1] + ends[1][1])
    long = hypot(x - corner[0], y - corner[1]) or 1.0
    across = -(y - corner[1]) / long, (x - corner[0]) / long
    return [(x + s * across[0], y + s * across[1]) for s in (0.4, -0.4)]


def _nose(corners: tuple[XY, XY, XY], *, dead: bool) -> Iterator[Mark]:
    yield Shape(corners, WHITE if dead else INK)
    yield Line(corners, 0.3, INK, closed=True)


def _road(
    at: XY, ways: tuple[XY, ...], lie: Lie, side: Side, half: float
) -> tuple[XY, ...]:
    """Return a slip road: a curve that touches both tracks."""
    ends = [
        (
            at[0] + (1.0 if ahead else -1.0) * ROAD_SHARE * half * way[0],
            at[1] + (1.0 if ahead else -1.0) * ROAD_SHARE * half * way[1],
        )
        for way, ahead in zip(ways, road_ends(lie, side), strict=True)
    ]
    points: list[XY] = []
    for i in range(ROAD_STEPS + 1):
        t = i / ROAD_STEPS
        near, mid, far = (1 - t) ** 2, 2 * t * (1 - t), t * t
        points.append(
            (
                near * ends[0][0] + mid * at[0] + far * ends[1][0],
                near * ends[0][1] + mid * at[1] + far * ends[1][1],
            )
        )
    return tuple(points)
