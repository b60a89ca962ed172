"""A pair of conductors along a way: A solid, B dashed."""

from itertools import pairwise
from math import hypot

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPolygonF

from app.canvas.look import Look

XY = tuple[float, float]

MITRE_MOST = 2.5
"""Corners are never drawn out further than this. [offsets]"""


def offset_points(points: tuple[XY, ...], offset: float) -> list[QPointF]:
    """Return points of a polyline moved to its left (negative: right), mitred."""
    ways = [_unit(a, b) for a, b in pairwise(points)]
    moved: list[QPointF] = []
    for i, (x, y) in enumerate(points):
        before, after = ways[max(i - 1, 0)], ways[min(i, len(ways) - 1)]
        nx, ny = -(before[1] + after[1]), before[0] + after[0]
        square = nx * nx + ny * ny
        if square < 1e-9:  # it turns right back
            nx, ny, square = -before[1], before[0], 1.0
        mitre = min(2.0 / square, MITRE_MOST / square**0.5)
        moved.append(QPointF(x + offset * nx * mitre, y + offset * ny * mitre))
    return moved


class Pair:
    """Two lines along a way; they keep their distance in pixels."""

    def __init__(self, points: tuple[XY, ...]) -> None:
        self._points = points
        self._sides: tuple[float, QPolygonF, QPolygonF] | None = None

    def paint(
        self, painter: QPainter, look: Look, *, half_px: float, width_px: float
    ) -> None:
        """Paint both conductors, A to the left of the way and B to its right."""
        offset = half_px * look.mm_per_px
        if self._sides is None or self._sides[0] != offset:
            left = QPolygonF(offset_points(self._points, offset))
            right = QPolygonF(offset_points(self._points, -offset))
            self._sides = (offset, left, right)
        _, on_a, on_b = self._sides
        painter.setPen(look.pen(look.theme.conductor_a, width_px))
        painter.drawPolyline(on_a)
        painter.setPen(look.pen(look.theme.conductor_b, width_px, "dash"))
        painter.drawPolyline(on_b)


def _unit(a: XY, b: XY) -> XY:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = hypot(dx, dy) or 1.0
    return dx / length, dy / length
