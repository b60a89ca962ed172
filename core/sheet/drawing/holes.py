"""Drop layer: holes with their ids, leads, and which side A is on."""

from math import cos, sin

from core.layout.parts import Drop
from core.layout.queries import anchor
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.track import pose_of
from core.sheet.frame import Box
from core.sheet.marks import INK, POINT_MM, SOFT, WHITE, XY, Circle, Mark, Text
from core.sheet.schedules.words import end_words
from core.sheet.typeface import CAP_HEIGHT

HOLE = 1.45
"""Radius that a hole is drawn with. [mm]"""

_DOT = 0.55
_LETTER_AT = 3.5
_LETTER_SIZE = 7.5


def draw_drops(scene: Scene, *, leads: bool) -> None:
    """Draw all drops; `leads` adds the wire below and where it ends."""
    for drop in scene.parts(Drop):
        pose = pose_of(scene, drop.on)
        at = scene.view.at(pose.x_mm, pose.y_mm)
        if scene.sketch:
            area = Box(at[0] - _DOT, at[1] - _DOT, at[0] + _DOT, at[1] + _DOT)
            scene.symbol([Circle(*at, _DOT, INK, INK, 0.0)], area)
            continue
        if leads:
            _draw_lead(scene, drop, at)
        _draw_hole(scene, at)
        sign = 1.0 if drop.a_rail == "left" else -1.0
        side = (-sign * sin(pose.heading), sign * cos(pose.heading))
        _draw_letter(scene, at, scene.view.direction(*side))
        scene.label(1, at, _label_of(scene, drop, leads=leads), HOLE + 0.6)


def _draw_hole(scene: Scene, at: XY) -> None:
    area = Box(at[0] - HOLE, at[1] - HOLE, at[0] + HOLE, at[1] + HOLE)
    marks: list[Mark] = [
        Circle(*at, HOLE + 0.35, WHITE, WHITE, 0.0),
        Circle(*at, HOLE, INK, INK, 0.0),
        Circle(*at, HOLE / 3.0, WHITE, WHITE, 0.0),
    ]
    scene.symbol(marks, area)


def _label_of(scene: Scene, drop: Drop, *, leads: bool) -> tuple[Words, ...]:
    if not leads:
        return (Words(drop.id, 10.0, bold=True),)
    ends = Words(end_words(scene.layout, drop.to), 8.0)
    return Words(drop.id, 12.0, bold=True), ends


def _draw_lead(scene: Scene, drop: Drop, at: XY) -> None:
    end = None if drop.to is None else anchor(scene.layout, drop.to)
    if end is not None:
        scene.line((at, scene.view.at(*end)), 0.35, SOFT, weight=0.6)


def _draw_letter(scene: Scene, at: XY, aside: XY) -> None:
    """Put the letter of A beside the hole, on the side of A's rail."""
    x, y = at[0] + _LETTER_AT * aside[0], at[1] + _LETTER_AT * aside[1]
    base = y + CAP_HEIGHT * _LETTER_SIZE * POINT_MM / 2.0
    letter = scene.strokes.a.letter
    mark = Text(x, base, letter, _LETTER_SIZE, "middle", bold=True)
    scene.symbol(
        [Circle(x, y, 1.4, WHITE, WHITE, 0.0), mark],
        Box(x - 1.2, y - 1.3, x + 1.2, y + 1.3),
    )
