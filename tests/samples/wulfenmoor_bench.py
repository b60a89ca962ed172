"""The bench of Wulfenmoor Regional: an E of 0.6 m wide boards on joists."""

from collections.abc import Iterator

from core.layout.geometry import Path
from core.layout.ids import PartId
from core.layout.parts import Board, Edge, Joist, Part

HALF_MM = 300.0
"""Half the width of the bench. [mm]"""

APART_MM = 600.0
"""From joist to joist. [mm]"""

CLEAR_MM = 40.0
"""From a hole to a joist's centre line: half a joist, and room for a drill. [mm]"""

STEP_M = 0.01
"""A hole moves by whole steps of this. [m]"""

BOARDS: tuple[tuple[str, Edge, tuple[float, float, float, float]], ...] = (
    *(
        (f"South {i + 1}", "front", (-300.0 + 2430.0 * i, -300.0, 2430.0, 750.0))
        for i in range(6)
    ),
    ("East", "left", (13700.0, 450.0, 600.0, 2250.0)),
    *(
        (f"Middle {i + 1}", "front", (700.0 + 2272.0 * i, 2700.0, 2272.0, 600.0))
        for i in range(6)
    ),
    ("West", "right", (700.0, 3300.0, 600.0, 2400.0)),
    *(
        (f"North {i + 1}", "front", (700.0 + 2272.0 * i, 5700.0, 2272.0, 600.0))
        for i in range(6)
    ),
)
"""Name, aisle, and left, front, width and depth of each board. [mm]"""

Line = tuple[float, float, float, float]


def bench() -> Iterator[Part]:
    """Yield the boards and their joists."""
    for i, (name, aisle, (x, y, width, depth)) in enumerate(BOARDS, start=1):
        yield Board(
            id=PartId(f"BD{i}"),
            name=name,
            x_mm=x,
            y_mm=y,
            width_mm=width,
            depth_mm=depth,
            aisle=aisle,
        )
    for i, (x1, y1, x2, y2) in enumerate(joist_lines(), start=1):
        yield Joist(id=PartId(f"JS{i}"), x1_mm=x1, y1_mm=y1, x2_mm=x2, y2_mm=y2)


def joist_lines() -> Iterator[Line]:
    """Yield the joists' centre lines, across the bench. [mm]"""
    for i in range(24):
        yield 100.0 + APART_MM * i, -HALF_MM, 100.0 + APART_MM * i, 450.0
    for i in range(3):
        yield 13700.0, 750.0 + APART_MM * i, 14300.0, 750.0 + APART_MM * i
    for y in (3000.0, 6000.0):
        for i in range(23):
            x = 1000.0 + APART_MM * i
            yield x, y - HALF_MM, x, y + HALF_MM
    for i in range(4):
        yield 700.0, 3600.0 + APART_MM * i, 1300.0, 3600.0 + APART_MM * i


def clear_of_joists(path: Path, position_m: float) -> float:
    """Return the place nearest to one on a track that no joist is under. [m]"""
    lines = tuple(joist_lines())
    for step in range(20):
        for here in (position_m + step * STEP_M, position_m - step * STEP_M):
            pose = path.at(here)
            if all(_away(line, pose.x_mm, pose.y_mm) >= CLEAR_MM for line in lines):
                return round(here, 3)
    raise AssertionError(f"no clear place near {position_m} m")


def _away(line: Line, x: float, y: float) -> float:
    """Return the distance from a joist that lies along x or along y. [mm]"""
    x1, y1, x2, y2 = line
    dx, dy = max(x1 - x, 0.0, x - x2), max(y1 - y, 0.0, y - y2)
    return max(dx, dy)
