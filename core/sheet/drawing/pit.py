"""Pits: the wall, the ring with its cuts, the bridge's deck, the stalls' numbers."""

from collections.abc import Iterable
from math import cos, pi, radians, sin

from core.layout.geometry import Pose
from core.layout.parts import Turntable
from core.layout.turntables import (
    bridge_middle,
    is_swapping,
    out_pose,
    swap_line_deg,
)
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.scene import Scene
from core.sheet.frame import Box
from core.sheet.marks import (
    FAINT,
    INK,
    POINT_MM,
    SOFT,
    WHITE,
    XY,
    Circle,
    Line,
    Mark,
    Shape,
    Text,
    box,
)
from core.sheet.schedules.words import titled
from core.sheet.typeface import CAP_HEIGHT

PIT_SIGN = 1.6
"""Radius of the sign in the key. [mm]"""

_RING = 0.82
"""Radius of the ring. [radii of the pit]"""

_CUT_DEG = 8.0
"""How much of the ring is left out on each side of a cut. [°]"""

_CUT_BAR = 1.0
"""Half the length of the bars at a cut. [mm of paper]"""

_NUMBER_OUT, _NUMBER_PT = 5.0, 8.5
"""How far outside the pit a stall's number stands, and its size. [mm of paper, pt]"""

_STEPS = 72
_NEAR = 12.0
"""Smaller pits on paper are drawn without ring and numbers. [mm]"""


def draw_pits(scene: Scene, *, hidden: bool) -> None:
    """Draw all pits below their tracks; `hidden` for a view from below: pale."""
    for table in scene.parts(Turntable):
        middle = bridge_middle(scene.layout, table)
        if middle is not None:
            _draw_pit(scene, table, middle, hidden=hidden)


def pit_sign(at: XY) -> Iterable[Mark]:
    """Draw a small pit for the key, its left edge at a point. [mm]"""
    x, y = at[0] + PIT_SIGN, at[1]
    yield Circle(x, y, PIT_SIGN, WHITE, INK, 0.35)
    for rail in (y - 0.35 * PIT_SIGN, y + 0.35 * PIT_SIGN):
        yield Line(((x - PIT_SIGN, rail), (x + PIT_SIGN, rail)), 0.3)


def _draw_pit(scene: Scene, table: Turntable, middle: Pose, *, hidden: bool) -> None:
    edge = _edge(table, middle)
    ink = FAINT if hidden else INK
    on_paper = tuple(scene.view.at(x, y) for x, y in (*edge, edge[0]))
    scene.line(on_paper, 0.25 if hidden else 0.5, ink, weight=0.5)
    if hidden or scene.sketch:
        return
    if table.across_mm / scene.view.scale >= _NEAR:
        if table.form == "turntable":
            _draw_ring(scene, table)
        for n, stall in enumerate(table.stalls, start=1):
            pose = out_pose(scene.layout, stall)
            if pose is not None:
                _put_number(scene, n, pose)
    deck = _block(middle, table.across_mm, 0.14 * table.across_mm)
    scene.line(
        tuple(scene.view.at(x, y) for x, y in (*deck, deck[0])), 0.2, SOFT, weight=0.5
    )
    words = Words(titled(table.id, table.name), 8.5, bold=True)
    top = Pose(table.x_mm, table.y_mm, 0.0).left(0.5 * table.across_mm)
    scene.label(4, scene.view.at(*top), (words,), 1.5)


def _put_number(scene: Scene, number: int, pose: Pose) -> None:
    """Put the number of a stall in a box on its track, a little outside the pit."""
    x, y = scene.view.at(pose.x_mm, pose.y_mm)
    ox, oy = scene.view.direction(-cos(pose.heading), -sin(pose.heading))
    x, y = x + _NUMBER_OUT * ox, y + _NUMBER_OUT * oy
    text = str(number)
    half_wide = 1.6 + 0.9 * (len(text) - 1)
    half_high = 1.6
    corners = box(x - half_wide, y - half_high, 2.0 * half_wide, 2.0 * half_high)
    drop = CAP_HEIGHT * _NUMBER_PT * POINT_MM / 2.0
    marks: list[Mark] = [
        Shape(corners, WHITE),
        Line(corners, 0.25, SOFT, closed=True),
        Text(x, y + drop, text, _NUMBER_PT, "middle", bold=True),
    ]
    area = Box(x - half_wide, y - half_high, x + half_wide, y + half_high)
    scene.symbol(marks, area)


def _draw_ring(scene: Scene, table: Turntable) -> None:
    if not is_swapping(table):
        scene.line(_arc(scene, table, (0.0, 360.0)), 0.25, SOFT)
        return
    for start in (table.split_deg, table.split_deg + 180.0):
        ends = (start + _CUT_DEG, start + 180.0 - _CUT_DEG)
        scene.line(_arc(scene, table, ends), 0.25, SOFT)
        for bearing in ends:
            x, y = scene.view.at(*_on_ring(table, bearing))
            turn = radians(bearing)
            ox, oy = scene.view.direction(cos(turn), sin(turn))
            bar = (
                (x - _CUT_BAR * ox, y - _CUT_BAR * oy),
                (x + _CUT_BAR * ox, y + _CUT_BAR * oy),
            )
            scene.line(bar, 0.5, INK)
        at = scene.view.at(*_on_ring(table, start))
        scene.label(7, at, (Words("split", 8.5, ink=SOFT),), 1.5)
    line = swap_line_deg(table)
    half = 0.97 * 0.5 * table.across_mm
    ends_of_line = tuple(
        scene.view.at(
            table.x_mm + half * cos(radians(turn)),
            table.y_mm + half * sin(radians(turn)),
        )
        for turn in (line, line + 180.0)
    )
    scene.line(ends_of_line, 0.2, FAINT, (1.6, 1.2))


def _arc(
    scene: Scene, table: Turntable, bearings: tuple[float, float]
) -> tuple[XY, ...]:
    low, high = bearings
    return tuple(
        scene.view.at(*_on_ring(table, low + (high - low) * i / _STEPS))
        for i in range(_STEPS + 1)
    )


def _on_ring(table: Turntable, bearing_deg: float) -> XY:
    radius, turn = _RING * 0.5 * table.across_mm, radians(bearing_deg)
    return table.x_mm + radius * cos(turn), table.y_mm + radius * sin(turn)


def _edge(table: Turntable, middle: Pose) -> tuple[XY, ...]:
    if table.form == "traverser":
        axis = Pose(table.x_mm, table.y_mm, middle.heading)
        return _block(axis, table.across_mm, table.travel_mm)
    radius = 0.5 * table.across_mm
    turns = (2.0 * pi * i / _STEPS for i in range(_STEPS))
    return tuple(
        (table.x_mm + radius * cos(t), table.y_mm + radius * sin(t)) for t in turns
    )


def _block(middle: Pose, long_mm: float, wide_mm: float) -> tuple[XY, ...]:
    """Return the corners of a rectangle that lies along a pose. [mm]"""
    corners: list[XY] = []
    for along, left in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        x = middle.x_mm + along * long_mm * cos(middle.heading)
        y = middle.y_mm + along * long_mm * sin(middle.heading)
        corners.append(Pose(x, y, middle.heading).left(left * wide_mm))
    return tuple(corners)
