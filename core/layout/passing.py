"""Buses that run over the edge of a lift-out, a gate or the joint of a board."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import edge_lines
from core.layout.parts import Board, Bus, Edge, Opening

REACH_MM = 150.0
"""The bench is parted so far beyond the outermost tracks: what moves with a gate is
wider than its drawn edges (house choice). [mm]"""

TOUCH_MM = 2.0
"""Boards this near to an edge are parted by it (house choice). [mm]"""

_XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Passing:
    """A place where a bus runs over an edge, from its start; and on which side."""

    bus: PartId
    position_m: float
    side: Edge


def buses_over(layout: Layout, opening: Opening) -> tuple[Passing, ...]:
    """Return where buses run over the edges of an opening, bus by bus.

    An edge reaches a little beyond the outermost rails; the joint of a board as far
    as the boards that it parts.
    """
    lines = [
        (side, *_whole(layout, opening, (start, end)))
        for side, start, end in edge_lines(layout, opening, REACH_MM)
    ]
    return tuple(
        Passing(bus.id, round(position, 6), side)
        for bus in layout.of_kind(Bus)
        for position, side in sorted(_crossed(bus, lines))
    )


def plugs_needed(layout: Layout, opening: Opening) -> tuple[Passing, ...]:
    """Return where buses must part for an opening to open.

    Beside a gate's hinge a loose loop will do.
    """
    return tuple(
        passing
        for passing in buses_over(layout, opening)
        if opening.use != "gate" or passing.side != opening.hinge
    )


def plugs_in(layout: Layout) -> dict[PartId, list[tuple[float, Opening]]]:
    """Return the plugs in each bus: where along it, and of which opening. [m]"""
    found: dict[PartId, list[tuple[float, Opening]]] = {}
    for opening in layout.of_kind(Opening):
        if opening.buses == "plugs":
            for passing in plugs_needed(layout, opening):
                own = found.setdefault(passing.bus, [])
                own.append((passing.position_m, opening))
    return found


def plug_places(layout: Layout, opening: Opening) -> tuple[_XY, ...]:
    """Return where in plan the plugs are by which buses part at an opening. [mm]"""
    if opening.buses != "plugs":
        return ()
    poses = (
        bus_path(layout.need(passing.bus, Bus)).at(passing.position_m)
        for passing in plugs_needed(layout, opening)
    )
    return tuple((pose.x_mm, pose.y_mm) for pose in poses)


def _crossed(
    bus: Bus, lines: list[tuple[Edge, _XY, _XY]]
) -> Iterator[tuple[float, Edge]]:
    length_mm = 0.0
    points = [(p.x_mm, p.y_mm) for p in bus.points]
    for here, there in pairwise(points):
        step = hypot(there[0] - here[0], there[1] - here[1])
        for side, start, end in lines:
            t = _meeting(here, there, start, end)
            if t is not None:
                yield (length_mm + t * step) / 1000.0, side
        length_mm += step


def _meeting(a: _XY, b: _XY, c: _XY, d: _XY) -> float | None:
    """Return how far from a to b the line from c to d is crossed, as a share."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    across = ux * vy - uy * vx
    if abs(across) < 1e-9:
        return None
    wx, wy = c[0] - a[0], c[1] - a[1]
    t, u = (wx * vy - wy * vx) / across, (wx * uy - wy * ux) / across
    return t if 0.0 <= t < 1.0 and 0.0 <= u <= 1.0 else None


def _whole(layout: Layout, opening: Opening, line: tuple[_XY, _XY]) -> tuple[_XY, _XY]:
    """Return the line at which boards part, all of it."""
    (x0, y0), (x1, y1) = line
    length = hypot(x1 - x0, y1 - y0)
    if opening.use != "board joint" or length == 0.0:
        return line
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    spans = [
        span
        for board in layout.of_kind(Board)
        if (span := _inside(board, middle, (ux, uy))) is not None
    ]
    low = min([-length / 2.0, *(span[0] for span in spans)])
    high = max([length / 2.0, *(span[1] for span in spans)])
    return (
        (middle[0] + low * ux, middle[1] + low * uy),
        (middle[0] + high * ux, middle[1] + high * uy),
    )


def _inside(board: Board, at: _XY, way: _XY) -> tuple[float, float] | None:
    """Return from where to where a line lies on a board that holds its middle. [mm]"""
    low, high = -1e9, 1e9
    corner, size = (board.x_mm, board.y_mm), (board.width_mm, board.depth_mm)
    for k in (0, 1):
        near = corner[k] - TOUCH_MM - at[k]
        far = corner[k] + size[k] + TOUCH_MM - at[k]
        if near > 0.0 or far < 0.0:
            return None
        if abs(way[k]) > 1e-9:
            first, last = sorted((near / way[k], far / way[k]))
            low, high = max(low, first), min(high, last)
    return low, high
