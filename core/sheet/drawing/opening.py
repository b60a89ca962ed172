"""Lift-outs, gates and board joints on the plan: dashed edges, the hinge's side."""

from math import hypot

from core.layout.openings import edge_lines
from core.layout.parts import Opening
from core.layout.passing import plug_places
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.scene import Scene
from core.sheet.frame import Box
from core.sheet.marks import INK, SOFT, WHITE, XY, Circle, Line, Mark, Shape, box
from core.sheet.schedules.words import titled

BEYOND_MM = 90.0
"""Edges are drawn so far beyond the outermost rails, in plan. [mm]"""

PIN = 0.9
"""Radius of a hinge's pin, half the side of a plug. [mm of paper]"""

HATCH = 2.5
"""Spacing of the strokes over the section. [mm of paper]"""

DASH = (1.6, 1.0)


def draw_openings(scene: Scene) -> None:
    """Draw all openings with their ids, and which side their wires cross."""
    for opening in scene.parts(Opening):
        _draw(scene, opening)


def opening_sign(at: XY) -> tuple[Mark, ...]:
    """Return the sign of a hinged edge, as the key shows it."""
    x, y = at
    return (
        Line(((x, y), (x + 6.0, y)), 0.5, dash=DASH),
        Circle(x, y, PIN, WHITE, INK, 0.3),
        Circle(x + 6.0, y, PIN, WHITE, INK, 0.3),
    )


def _draw(scene: Scene, opening: Opening) -> None:
    lines = [
        (side, scene.view.at(*start), scene.view.at(*end))
        for side, start, end in edge_lines(scene.layout, opening, BEYOND_MM)
    ]
    if not lines:
        return
    if len(lines) > 1 and opening.use != "board joint":
        _hatch(scene, lines[0][1:], lines[1][1:])
    for side, start, end in lines:
        scene.line((start, end), 0.5, INK, DASH, weight=1.0)
        if side == opening.hinge and opening.use != "board joint":
            for x, y in (start, end):
                area = Box(x - PIN, y - PIN, x + PIN, y + PIN)
                scene.symbol(_pin(opening, (x, y)), area)
    for place in plug_places(scene.layout, opening):
        x, y = scene.view.at(*place)
        scene.symbol(_plug((x, y)), Box(x - PIN, y - PIN, x + PIN, y + PIN))
    if not scene.sketch:
        words = f"{titled(opening.id, opening.name)}: {opening.use}"
        scene.label(3, lines[0][1], (Words(words, 8.5, bold=True),), 1.2)


def _pin(opening: Opening, at: XY) -> list[Mark]:
    if opening.use == "gate":
        return [Circle(*at, PIN, WHITE, INK, 0.3)]
    return _plug(at)


def _plug(at: XY) -> list[Mark]:
    corners = box(at[0] - PIN, at[1] - PIN, 2 * PIN, 2 * PIN)
    return [Shape(corners, WHITE), Line(corners, 0.3, INK, closed=True)]


def _hatch(scene: Scene, near: tuple[XY, XY], far: tuple[XY, XY]) -> None:
    """Draw thin strokes from edge to edge, side by side."""
    straight = hypot(near[0][0] - far[0][0], near[0][1] - far[0][1])
    crosswise = hypot(near[0][0] - far[1][0], near[0][1] - far[1][1])
    a0, a1 = near
    b0, b1 = far if straight <= crosswise else (far[1], far[0])
    count = max(int(hypot(a1[0] - a0[0], a1[1] - a0[1]) / HATCH), 1)
    for i in range(1, count):
        t = i / count
        start = (a0[0] + t * (a1[0] - a0[0]), a0[1] + t * (a1[1] - a0[1]))
        end = (b0[0] + t * (b1[0] - b0[0]), b0[1] + t * (b1[1] - b0[1]))
        scene.line((start, end), 0.12, SOFT)
