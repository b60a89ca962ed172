"""Benchwork layer: grid, boards, joists, rulers, edge names, scale bar."""

from collections.abc import Iterable
from math import ceil, floor, hypot
from typing import Literal

from core.layout.parts import Board, Edge, Joist
from core.sheet.drawing.clipping import clip_line
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.view import Region, View
from core.sheet.frame import Box
from core.sheet.marks import (
    FAINT,
    GRID,
    INK,
    POINT_MM,
    SOFT,
    TINT,
    XY,
    Line,
    Mark,
    Text,
)
from core.sheet.schedules.benches import Bench
from core.sheet.typeface import CAP_HEIGHT
from core.units.length import show_length

RIM = Box(8.0, 6.0, 8.0, 8.5)
"""Room round a bench for rulers and edge names: left, top, right, bottom. [mm]"""

_STEPS_MM: dict[Literal["m", "ft"], tuple[float, ...]] = {
    "m": (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000),
    "ft": tuple(25.4 * n for n in (0.5, 1, 2, 3, 6, 12, 24, 60, 120, 240, 480)),
}
_LEAST_GRID = 7.0
_LEAST_NUMBER = 19.0

MOST_SKETCHED_AISLES = 6
"""A sketch of more boards shows aisles by their heavy edge alone. [1]"""

_OUTWARD: dict[Edge, XY] = {
    "front": (0.0, -1.0),
    "back": (0.0, 1.0),
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
}
_EDGE_WORDS: dict[Edge, str] = {
    "front": "front edge",
    "back": "back edge",
    "left": "left end",
    "right": "right end",
}


def draw_grid(scene: Scene, region: Region, zero: XY) -> None:
    """Draw the grid over a region, counted from a zero point. [mm]"""
    step = _step(scene.view, scene.system, _LEAST_GRID)
    x0, y0, x1, y1 = region
    for x in _multiples(x0, x1, step, zero[0]):
        scene.line((scene.view.at(x, y0), scene.view.at(x, y1)), 0.15, GRID)
    for y in _multiples(y0, y1, step, zero[1]):
        scene.line((scene.view.at(x0, y), scene.view.at(x1, y)), 0.15, GRID)


def draw_joists(scene: Scene) -> None:
    """Draw all joists: tinted and hatched, with their ids."""
    for joist in scene.parts(Joist):
        _draw_joist(scene, joist)


def draw_boards(scene: Scene) -> None:
    """Draw the outline of all boards, the aisle edge heavy."""
    for board in scene.parts(Board):
        region = board_region(board)
        for edge, ends in edges_of(region).items():
            line = scene.view.at(*ends[0]), scene.view.at(*ends[1])
            scene.line(line, 0.6, INK, weight=2.0)
            if edge == board.aisle:
                _mark_aisle(scene, ends, edge)


def label_boards(scene: Scene) -> None:
    """Name all boards within the drawing."""
    for board in scene.parts(Board):
        x0, y0, x1, y1 = board_region(board)
        name = board.id if scene.sketch else f"{board.id} {board.name}".strip()
        words = Words(name, 7.0 if scene.sketch else 9.0, ink=SOFT)
        scene.label(8, scene.view.at((x0 + x1) / 2, (y0 + y1) / 2), (words,))


def label_aisles(scene: Scene) -> None:
    """Mark the aisle edges of all boards with the word."""
    boards = tuple(scene.parts(Board))
    if scene.sketch and len(boards) > MOST_SKETCHED_AISLES:
        return
    for board in boards:
        (xa, ya), (xb, yb) = edges_of(board_region(board))[board.aisle]
        aisle = scene.view.at((xa + xb) / 2, (ya + yb) / 2)
        scene.label(2, aisle, (Words("AISLE", 8.5, bold=True),), 1.0)


def draw_rulers(scene: Scene, bench: Bench) -> None:
    """Draw rulers and edge names round a bench, in the rim of the window.

    The numbers are those of the schedules: along the aisle from the bench's
    end, inward from the aisle edge. The bare plan has no edges to measure from.
    """
    view = scene.view
    for edge, ends in edges_of(bench.region).items():
        line = view.at(*ends[0]), view.at(*ends[1])
        is_aisle = bench.board is not None and edge == bench.aisle
        _draw_edge_name(scene, line, edge, is_aisle=is_aisle)
    if bench.board is None:
        return
    step = _step(view, scene.system, _LEAST_NUMBER)
    x0, y0, x1, y1 = bench.region
    flat = bench.aisle in ("front", "back")
    size_x, size_y = x1 - x0, y1 - y0
    along, inward = (size_x, size_y) if flat else (size_y, size_x)
    for n in range(floor(along / step + 1e-6) + 1):
        at = view.at(*_from_edges(bench, n * step, 0.0))
        _draw_number(scene, at, _OUTWARD[bench.aisle], n * step)
    for n in range(floor(inward / step + 1e-6) + 1):
        at = view.at(*_from_edges(bench, 0.0, n * step))
        _draw_number(scene, at, _OUTWARD[bench.end], n * step)


def scale_bar(
    view: View, system: Literal["m", "ft"], x: float, y: float
) -> tuple[Mark, ...]:
    """Return a scale bar with its words; its left end at x, y. [mm]"""
    step = _step(view, system, 11.0)
    length = step / view.scale
    count = 4 if length < 13.0 else 2
    marks: list[Mark] = []
    for i in range(count):
        bar = (x + i * length, y), (x + (i + 1) * length, y)
        marks.append(Line(bar, 1.6 if i % 2 == 0 else 0.4))
    for i in range(count + 1):
        at = x + i * length
        marks.append(Line(((at, y - 1.2), (at, y + 1.2)), 0.25))
    words = f"{show_length(count * step / 1000.0, system)}   1:{view.scale:g}"
    marks.append(Text(x + count * length + 2.5, y + 1.2, words, 10.0, bold=True))
    return tuple(marks)


def scale_words(view: View, system: Literal["m", "ft"]) -> str:
    """Return scale and grid in a sentence or two."""
    step = _step(view, system, _LEAST_GRID)
    words = f"Scale 1:{view.scale:g}, squares {show_length(step / 1000.0, system)}."
    if system == "ft" and view.scale >= 12 and view.scale % 12 == 0:
        words += f" 1 inch on paper is {view.scale / 12:g} ft."
    return words


def board_region(board: Board) -> Region:
    """Return the rectangle of a board. [mm]"""
    x1, y1 = board.x_mm + board.width_mm, board.y_mm + board.depth_mm
    return board.x_mm, board.y_mm, x1, y1


def edges_of(region: Region) -> dict[Edge, tuple[XY, XY]]:
    """Return the four edges of a rectangle by name. [mm]"""
    x0, y0, x1, y1 = region
    return {
        "front": ((x0, y0), (x1, y0)),
        "back": ((x0, y1), (x1, y1)),
        "left": ((x0, y0), (x0, y1)),
        "right": ((x1, y0), (x1, y1)),
    }


def _draw_joist(scene: Scene, joist: Joist) -> None:
    dx, dy = joist.x2_mm - joist.x1_mm, joist.y2_mm - joist.y1_mm
    length = hypot(dx, dy)
    if length == 0.0:
        return
    half = joist.width_mm / 2.0
    nx, ny = -dy / length * half, dx / length * half
    at = scene.view.at
    corners = (
        at(joist.x1_mm + nx, joist.y1_mm + ny),
        at(joist.x2_mm + nx, joist.y2_mm + ny),
        at(joist.x2_mm - nx, joist.y2_mm - ny),
        at(joist.x1_mm - nx, joist.y1_mm - ny),
    )
    scene.shape(corners, TINT)
    pitch = 4.0 * scene.view.scale
    count = floor(length / pitch)
    for i in range(count):
        s, e = i * pitch / length, min((i * pitch + 2 * half) / length, 1.0)
        stroke = (
            at(joist.x1_mm + s * dx + nx, joist.y1_mm + s * dy + ny),
            at(joist.x1_mm + e * dx - nx, joist.y1_mm + e * dy - ny),
        )
        scene.line(stroke, 0.12, FAINT)
    scene.line((*corners, corners[0]), 0.25, FAINT, weight=0.5)
    _label_joist(scene, joist, (dx / length, dy / length))


def _label_joist(scene: Scene, joist: Joist, way: XY) -> None:
    """Put the id on the joist, near the end that is higher on the paper."""
    low = scene.view.at(joist.x1_mm, joist.y1_mm)
    high = scene.view.at(joist.x2_mm, joist.y2_mm)
    dx, dy = scene.view.direction(*way)
    if high[1] > low[1]:
        high, dx, dy = low, -dx, -dy
    at = (high[0] - 5.0 * dx, high[1] - 5.0 * dy)
    scene.label(7, at, (Words(joist.id, 8.0, ink=SOFT),))


def _mark_aisle(scene: Scene, ends: tuple[XY, XY], edge: Edge) -> None:
    out = scene.view.direction(*_OUTWARD[edge])
    rim = 0.45 if scene.sketch else 0.9
    line = tuple(
        (x + rim * out[0], y + rim * out[1])
        for x, y in (scene.view.at(*ends[0]), scene.view.at(*ends[1]))
    )
    scene.line(line, 0.9 if scene.sketch else 1.8, INK)


def _draw_edge_name(
    scene: Scene, line: tuple[XY, XY], edge: Edge, *, is_aisle: bool
) -> None:
    """Write the name of an edge beside the middle of what the window shows of it."""
    seen = clip_line(line, scene.view.window)
    if not seen:
        return
    (xa, ya), (xb, yb) = seen[0][0], seen[0][-1]
    out = scene.view.direction(*_OUTWARD[edge])
    words = f"AISLE: {_EDGE_WORDS[edge]}" if is_aisle else _EDGE_WORDS[edge]
    size = 11.5 if is_aisle else 9.0
    ink = INK if is_aisle else SOFT
    middle = (xa + xb) / 2.0, (ya + yb) / 2.0
    _write_beside(scene, middle, out, 5.6, Words(words, size, bold=is_aisle, ink=ink))


def _draw_number(scene: Scene, at: XY, outward: XY, value_mm: float) -> None:
    w = scene.view.window.inset(-0.5)
    if not (w.left <= at[0] <= w.right and w.top <= at[1] <= w.bottom):
        return
    ox, oy = scene.view.direction(*outward)
    tick = tuple((at[0] + d * ox, at[1] + d * oy) for d in (1.8, 2.7))
    words = show_length(value_mm / 1000.0, scene.system) if value_mm else "0"
    scene.fixed([Line(tick, 0.3, SOFT)], Box(*at, *at))
    _write_beside(scene, at, (ox, oy), 2.9, Words(words, 7.5, ink=SOFT))


def _write_beside(scene: Scene, at: XY, out: XY, away: float, words: Words) -> None:
    """Write a word outside an edge, along the edge, `away` from it. [mm]"""
    cap = CAP_HEIGHT * words.size * POINT_MM
    half = scene.typeface.width(words.text, words.size, bold=words.bold) / 2.0 + 0.5
    flat = abs(out[1]) > 0.5
    if flat:
        x, y = at[0], at[1] + (away + cap if out[1] > 0 else -away)
        area = Box(x - half, y - cap, x + half, y)
    else:
        x, y = at[0] + (away + cap if out[0] > 0 else -away), at[1]
        area = Box(x - cap, y - half, x, y + half)
    turn = 0.0 if flat else 90.0
    mark = Text(
        x, y, words.text, words.size, "middle", turn, bold=words.bold, ink=words.ink
    )
    scene.fixed([mark], area)


def _from_edges(bench: Bench, along: float, inward: float) -> XY:
    x0, y0, x1, y1 = bench.region
    if bench.aisle in ("front", "back"):
        return x0 + along, (y0 + inward if bench.aisle == "front" else y1 - inward)
    return (x0 + inward if bench.aisle == "left" else x1 - inward), y0 + along


def _step(view: View, system: Literal["m", "ft"], least: float) -> float:
    """Return the finest round step that is at least so wide on paper. [mm]"""
    steps = _STEPS_MM[system]
    return next((s for s in steps if s / view.scale >= least), steps[-1])


def _multiples(low: float, high: float, step: float, zero: float) -> Iterable[float]:
    first, last = ceil((low - zero) / step - 1e-6), floor((high - zero) / step + 1e-6)
    return (zero + n * step for n in range(first, last + 1))
