"""Places for holes that no joist is under."""

from collections.abc import Iterable
from math import hypot

from core.layout.geometry import Path
from core.layout.parts import Joist

CLEAR_MM = 40.0
"""From a hole to a joist's centre line: half a joist, and room for a drill. [mm]"""

STEP_M = 0.01
"""A hole moves by whole steps of this. [m]"""


def clear_place(path: Path, position_m: float, joists: Iterable[Joist]) -> float:
    """Return the place nearest to one on a track that no joist is under. [m]"""
    timbers = tuple(joists)
    for step in range(20):
        for here in (position_m + step * STEP_M, position_m - step * STEP_M):
            pose = path.at(here)
            if all(_away(j, pose.x_mm, pose.y_mm) >= CLEAR_MM for j in timbers):
                return round(here, 3)
    raise AssertionError(f"no clear place near {position_m} m")


def _away(joist: Joist, x_mm: float, y_mm: float) -> float:
    """Return the distance from a joist that lies along x or along y. [mm]"""
    dx = max(joist.x1_mm - x_mm, 0.0, x_mm - joist.x2_mm)
    dy = max(joist.y1_mm - y_mm, 0.0, y_mm - joist.y2_mm)
    return hypot(dx, dy)
