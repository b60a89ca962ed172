"""Power layer: buses as two lines, strips, boosters, devices, feeds."""

from itertools import pairwise
from math import hypot

from core.layout.geometry import bus_path
from core.layout.parts import Booster, Bus, Inline, Strip
from core.layout.queries import anchor, open_ends
from core.sheet.drawing.clipping import aside, clip_line, length_of, point_along
from core.sheet.drawing.inkmap import LIGHT, Words
from core.sheet.drawing.scene import Scene
from core.sheet.frame import Box
from core.sheet.marks import INK, POINT_MM, WHITE, XY, Circle, Line, Mark, Shape, Text
from core.sheet.typeface import CAP_HEIGHT

_HALF_PAIR = 0.85
"""Half the distance that the two conductors are drawn apart. [mm]"""

_BADGES_EVERY = 70.0
_LEAST_STRAIGHT = 24.0
_LEAST_BADGED = 14.0
_BADGE = 1.75


def draw_buses(scene: Scene) -> None:
    """Draw all buses: A solid, B dashed, letters on both."""
    for bus in scene.parts(Bus):
        points = bus_path(bus).line()
        drawn = tuple(scene.view.at(float(x), float(y)) for x, y in points)
        _draw_pair(scene, drawn)
        _draw_snubbers(scene, bus, drawn)
        if not scene.sketch:
            _put_badges(scene, drawn)
            _label_bus(scene, bus, drawn)


def draw_feeds(scene: Scene) -> None:
    """Draw the direct wires from what feeds a device to the device."""
    for device in scene.parts(Inline):
        start = None if device.feed is None else anchor(scene.layout, device.feed)
        if start is not None:
            ends = scene.view.at(*start), scene.view.at(device.x_mm, device.y_mm)
            if ends[0] != ends[1]:
                _draw_pair(scene, ends)


def draw_devices(scene: Scene) -> None:
    """Draw boosters, in-line devices and strips as boxes with their ids."""
    for booster in scene.parts(Booster):
        at = scene.view.at(booster.x_mm, booster.y_mm)
        _draw_box(scene, at, booster.id, dark=True)
        if booster.name:
            scene.label(5, at, (Words(booster.name, 8.5),), 3.4)
    for device in scene.parts(Inline):
        at = scene.view.at(device.x_mm, device.y_mm)
        _draw_box(scene, at, device.id, dark=False)
        if device.name:
            scene.label(6, at, (Words(device.name, 8.0),), 3.4)
    for strip in scene.parts(Strip):
        if scene.sketch:
            at = scene.view.at(strip.x_mm, strip.y_mm)
            _draw_box(scene, at, strip.id, dark=False)
        else:
            _draw_strip(scene, strip)


def _draw_pair(scene: Scene, points: tuple[XY, ...]) -> None:
    half, width, dashes = (0.45, 0.4, 0.5) if scene.sketch else (_HALF_PAIR, 0.75, 1.0)
    for stroke, offset in ((scene.strokes.a, half), (scene.strokes.b, -half)):
        dash = tuple(d * dashes for d in stroke.dash)
        line = aside(points, offset)
        scene.line(line, width, stroke.ink, dash, weight=LIGHT * 2.0)


def _put_badges(scene: Scene, points: tuple[XY, ...]) -> None:
    """Put letters along what the window shows, A before B, on their own lines."""
    for seen in clip_line(points, scene.view.window):
        straights: list[tuple[XY, ...]] = [
            s for s in pairwise(seen) if length_of(s) >= _LEAST_STRAIGHT
        ]
        for straight in straights or (seen,):
            length = length_of(straight)
            count = max(round(length / _BADGES_EVERY), 1)
            for i in range(count if length >= _LEAST_BADGED else 0):
                _put_badge_pair(scene, straight, (i + 0.5) * length / count)


def _put_badge_pair(scene: Scene, line: tuple[XY, ...], middle: float) -> None:
    for stroke, shift, side in (
        (scene.strokes.a, -2.3, _HALF_PAIR),
        (scene.strokes.b, 2.3, -_HALF_PAIR),
    ):
        (x, y), (dx, dy) = point_along(line, middle + shift)
        at = (x + side * dy, y - side * dx)
        area = Box(at[0] - 1.9, at[1] - 1.9, at[0] + 1.9, at[1] + 1.9)
        scene.symbol(list(stroke.badge(at, _BADGE)), area)


def _label_bus(scene: Scene, bus: Bus, points: tuple[XY, ...]) -> None:
    seen = clip_line(points, scene.view.window)
    if not seen:
        return
    longest = max(seen, key=length_of)
    at, _ = point_along(longest, 0.25 * length_of(longest))
    words = f"{bus.id} {bus.name}".strip()
    scene.label(3, at, (Words(words, 9.5, bold=True),), 1.5)


def _draw_snubbers(scene: Scene, bus: Bus, points: tuple[XY, ...]) -> None:
    """Draw a resistor and a capacitor across each free end that has a snubber."""
    if not bus.snubber:
        return
    for end in open_ends(scene.layout)[bus.id]:
        at, ahead = points[:2] if end == "start" else points[:-3:-1]
        length = hypot(ahead[0] - at[0], ahead[1] - at[1]) or 1.0
        dx, dy = (at[0] - ahead[0]) / length, (at[1] - ahead[1]) / length

        def place(along: float, aside: float, at: XY = at, d: XY = (dx, dy)) -> XY:
            return (
                at[0] + along * d[0] - aside * d[1],
                at[1] + along * d[1] + aside * d[0],
            )

        body = tuple(place(*c) for c in ((1, -2), (2, -2), (2, 0), (1, 0)))
        marks: list[Mark] = [
            Line((place(0, -0.9), place(1.5, -0.9), place(1.5, 2), place(0, 0.9)), 0.3),
            Shape(body, WHITE),
            Line(body, 0.3, INK, closed=True),
            Line((place(0.7, 1.0), place(2.3, 1.0)), 0.4),
            Line((place(0.7, 1.5), place(2.3, 1.5)), 0.4),
        ]
        scene.symbol(marks, Box(at[0] - 2.6, at[1] - 2.6, at[0] + 2.6, at[1] + 2.6))


def _draw_box(scene: Scene, at: XY, name: str, *, dark: bool) -> None:
    size, rim, height = (6.5, 1.4, 3.2) if scene.sketch else (9.5, 3.0, 5.6)
    width = scene.typeface.width(name, size, bold=True) + rim
    area = Box(
        at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2
    )
    base = at[1] + CAP_HEIGHT * size * POINT_MM / 2.0
    marks: list[Mark] = [
        Shape(area.corners, INK if dark else WHITE),
        Line(area.corners, height / 12.0, INK, closed=True),
        Text(at[0], base, name, size, "middle", bold=True, ink=WHITE if dark else INK),
    ]
    scene.symbol(marks, area)


def _draw_strip(scene: Scene, strip: Strip) -> None:
    """Draw a strip as a box with a row of screws above and below its id."""
    at = scene.view.at(strip.x_mm, strip.y_mm)
    size = 9.5
    width = max(scene.typeface.width(strip.id, size, bold=True) + 3.0, 11.0)
    area = Box(at[0] - width / 2, at[1] - 4.4, at[0] + width / 2, at[1] + 4.4)
    base = at[1] + CAP_HEIGHT * size * POINT_MM / 2.0
    marks: list[Mark] = [
        Shape(area.corners, WHITE),
        Line(area.corners, 0.45, INK, closed=True),
        Text(at[0], base, strip.id, size, "middle", bold=True),
    ]
    count = int(width // 2.2)
    for i in range(count):
        x = area.left + (i + 0.5) * width / count
        marks.append(Circle(x, area.top + 1.3, 0.6, None, scene.strokes.a.ink, 0.35))
        marks.append(Circle(x, area.bottom - 1.3, 0.6, None, scene.strokes.b.ink, 0.35))
    scene.symbol(marks, area)
    if strip.name:
        scene.label(6, at, (Words(strip.name, 8.0),), 5.0)
