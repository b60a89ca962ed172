"""A pair of conductors along a way: A solid, B dashed."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.canvas.lines.chunks import Chunks, Floats
from app.canvas.lines.dashes import Dashes
from app.canvas.look import DASH_PX, Look

XY = tuple[float, float]

MITRE_MOST = 2.5
"""Corners are never drawn out further than this. [offsets]"""

STRAIGHT_MM = 1e-3
"""What lies no further than this beside the way on is no corner. [mm]"""


@dataclass(frozen=True, slots=True)
class _Sides:
    """Both lines as they are at one zoom."""

    offset_mm: float
    dash_mm: float
    on_a: Chunks
    on_b: Dashes


class Pair:
    """Two lines along a way; they keep their distance in pixels."""

    def __init__(self, points: tuple[XY, ...]) -> None:
        self._points = without_straights(np.array(points, np.float64))
        self._middle: Chunks | None = None
        self._sides: _Sides | None = None

    def paint(
        self,
        painter: QPainter,
        look: Look,
        exposed: QRectF,
        *,
        half_px: float,
        width_px: float,
    ) -> None:
        """Paint both conductors, A to the left of the way and B to its right."""
        sides = self._at(half_px * look.mm_per_px, look.mm_per_px)
        reach = width_px * look.mm_per_px
        painter.setPen(look.line_pen(look.theme.conductor_a, width_px))
        sides.on_a.draw(painter, exposed, reach)
        painter.setPen(look.pen(look.theme.conductor_b, width_px))
        sides.on_b.draw(painter, exposed, reach)

    def paint_middle(self, painter: QPainter, exposed: QRectF, reach_mm: float) -> None:
        """Paint one line along the way with the painter's pen."""
        if self._middle is None:
            self._middle = Chunks(self.legs())
        self._middle.draw(painter, exposed, reach_mm)

    def legs(self) -> Floats:
        """Return the way from corner to corner, shape (N, 4). [mm]"""
        return _legs(self._points)

    def _at(self, offset_mm: float, mm_per_px: float) -> _Sides:
        dash, space = (px * mm_per_px for px in DASH_PX)
        sides = self._sides
        if sides is None or (sides.offset_mm, sides.dash_mm) != (offset_mm, dash):
            sides = self._sides = _Sides(
                offset_mm,
                dash,
                Chunks(_legs(offset_points(self._points, offset_mm))),
                Dashes(offset_points(self._points, -offset_mm), (dash, space)),
            )
        return sides


def offset_points(points: Floats, offset: float) -> Floats:
    """Return points of a polyline moved to its left (negative: right), mitred.

    Both of shape (N, 2). [mm]
    """
    ways = _ways(points)
    before = ways[np.maximum(np.arange(len(points)) - 1, 0)]
    after = ways[np.minimum(np.arange(len(points)), len(ways) - 1)]
    both = before + after
    square = (both**2).sum(axis=1)
    turns_back = square < 1e-9
    both[turns_back], square[turns_back] = before[turns_back], 1.0
    mitre = np.minimum(2.0 / square, MITRE_MOST / np.sqrt(square))
    left = np.column_stack((-both[:, 1], both[:, 0]))
    moved: Floats = points + offset * mitre[:, None] * left
    return moved


def without_straights(points: Floats) -> Floats:
    """Return a polyline without the points at which it goes straight on."""
    ways = _ways(points)
    legs = np.hypot(*np.diff(points, axis=0).T)
    one, other = ways[:-1], ways[1:]
    aside = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])
    aside *= np.minimum(legs[:-1], legs[1:])
    ahead = (one * other).sum(axis=1) > 0.0
    kept = np.ones(len(points), bool)
    kept[1:-1] = (aside > STRAIGHT_MM) | ~ahead
    found: Floats = points[kept]
    return found


def _legs(points: Floats) -> Floats:
    return np.column_stack((points[:-1], points[1:]))


def _ways(points: Floats) -> Floats:
    """Return the way along each leg, of length 1, or 0 where it has none."""
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    found: Floats = steps / np.where(lengths > 0.0, lengths, 1.0)[:, None]
    return found
