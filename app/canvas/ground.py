"""What lies under everything: the ground, the boards and the grid."""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QColor, QPainter, QPixmap, QTransform

from app.canvas.lines.chunks import Floats
from app.canvas.look import Look, mix
from app.tools.snapping.steps import round_step_mm

MINOR_PX, MAJOR_PX = 14.0, 70.0
"""Grid lines are never closer than this. [px]"""

MINOR_SHARE = 0.5

ROWS, LEAST_PX = 8, 96
"""Rows that are made of a surface; it is filled by them from that size on. [px]"""

_Line = tuple[int, QColor]
"""In which column or row of pixels it lies, and its colour."""


def paint_ground(
    painter: QPainter,
    look: Look,
    clip: QRect,
    boards: Floats,
    lengths: Literal["m", "ft"] | None,
) -> None:
    """Paint paper, round boards the floor of the room, and the grid over both.

    The grid has two shades, its steps round lengths that suit the zoom. All of it is
    filled in whole pixels: lines and soft edges take several times as long.

    Parameters
    ----------
    clip : QRect
        What is to be painted. [px]
    boards : float64 array, shape (N, 4)
        Left, top, right and bottom of each. [mm]
    lengths : str or None
        What the grid measures in; None: no grid.
    """
    world = painter.worldTransform()
    painter.setWorldTransform(QTransform())
    theme = look.theme
    columns, rows = _grid(world, look, clip, lengths)
    paper = _Surface(painter, clip, QColor(theme.paper), columns)
    floor = paper
    if len(boards):
        floor = _Surface(painter, clip, QColor(theme.bench), columns)
    floor.fill(painter, clip)
    for rect in _in_pixels(boards, world, clip):
        paper.fill(painter, rect)
    for at, colour in rows:
        painter.fillRect(clip.x(), at, clip.width(), 1, colour)
    painter.setWorldTransform(world)


class _Surface:
    """A colour with the upright lines of the grid on it.

    Upright lines jump from row to row of the screen's memory, so that each takes as
    long as a wide band. A few rows of them are made, and laid under each other.
    """

    def __init__(
        self, painter: QPainter, clip: QRect, colour: QColor, columns: list[_Line]
    ) -> None:
        self._colour, self._columns, self._left = colour, columns, clip.x()
        self._rows: QPixmap | None = None
        is_plain = painter.device().devicePixelRatioF() == 1.0
        if is_plain and min(clip.width(), clip.height()) >= LEAST_PX:
            self._rows = QPixmap(clip.width(), ROWS)
            self._rows.fill(colour)
            inner = QPainter(self._rows)
            for at, line in columns:
                inner.fillRect(at - self._left, 0, 1, ROWS, line)
            inner.end()

    def fill(self, painter: QPainter, rect: QRect) -> None:
        """Fill a rectangle. [px]"""
        if self._rows is not None:
            origin = QPoint(rect.x() - self._left, 0)
            painter.drawTiledPixmap(rect, self._rows, origin)
            return
        painter.fillRect(rect, self._colour)
        first, end = rect.x(), rect.x() + rect.width()
        for at, line in self._columns:
            if first <= at < end:
                painter.fillRect(at, rect.y(), 1, rect.height(), line)


def _grid(
    world: QTransform, look: Look, clip: QRect, lengths: Literal["m", "ft"] | None
) -> tuple[list[_Line], list[_Line]]:
    """Return the grid's columns and rows, the bolder ones last. [px]"""
    columns: list[_Line] = []
    rows: list[_Line] = []
    if lengths is not None:
        theme = look.theme
        minor = QColor(mix(theme.grid, theme.paper, MINOR_SHARE))
        for least_px, colour in ((MINOR_PX, minor), (MAJOR_PX, QColor(theme.grid))):
            step = round_step_mm(look.mm_per_px, lengths, least_px)
            across, up = world.m11() * step, world.m22() * step
            at = _steps(across, world.dx(), clip.x(), clip.width())
            columns += [(x, colour) for x in at]
            at = _steps(up, world.dy(), clip.y(), clip.height())
            rows += [(y, colour) for y in at]
    return columns, rows


def _in_pixels(boards: Floats, world: QTransform, clip: QRect) -> Iterator[QRect]:
    if not len(boards):
        return
    scale = np.array((world.m11(), world.m22(), world.m11(), world.m22()))
    shift = np.array((world.dx(), world.dy(), world.dx(), world.dy()))
    edges = np.rint(boards * scale + shift).astype(np.int64)
    # Turned over, what was top is bottom.
    low = np.minimum(edges[:, :2], edges[:, 2:])
    high = np.maximum(edges[:, :2], edges[:, 2:])
    first = np.array((clip.left(), clip.top()))
    end = first + np.array((clip.width(), clip.height()))
    low, high = np.maximum(low, first), np.minimum(high, end)
    seen = (high > low).all(axis=1)
    for (x, y), (right, bottom) in zip(
        low[seen].tolist(), high[seen].tolist(), strict=True
    ):
        yield QRect(x, y, right - x, bottom - y)


def _steps(step_px: float, origin_px: float, start: int, length: int) -> list[int]:
    """Return the pixels from a start on in which lines at even steps lie."""
    step = abs(step_px)
    first = np.ceil((start - origin_px) / step)
    count = int(length / step) + 2
    at = np.floor(origin_px + (first + np.arange(count)) * step + 1e-6)
    found: list[int] = at[(at >= start) & (at < start + length)].astype(int).tolist()
    return found
