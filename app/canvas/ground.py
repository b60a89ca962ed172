"""What lies under everything: the ground, the boards and the grid."""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QPainter, QTransform

from app.canvas.lines.chunks import Floats
from app.canvas.look import Look, mix
from app.tools.snapping.steps import round_step_mm

MINOR_PX, MAJOR_PX = 14.0, 70.0
"""Grid lines are never closer than this. [px]"""

MINOR_SHARE = 0.5


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
    paper = QColor(theme.paper)
    painter.fillRect(clip, QColor(theme.bench) if len(boards) else paper)
    for rect in _in_pixels(boards, world, clip):
        painter.fillRect(rect, paper)
    if lengths is not None:
        minor = QColor(mix(theme.grid, theme.paper, MINOR_SHARE))
        for least_px, colour in ((MINOR_PX, minor), (MAJOR_PX, QColor(theme.grid))):
            step = round_step_mm(look.mm_per_px, lengths, least_px)
            _paint_grid(painter, world, clip, step, colour)
    painter.setWorldTransform(world)


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


def _paint_grid(
    painter: QPainter, world: QTransform, clip: QRect, step: float, colour: QColor
) -> None:
    x, y, width, height = clip.x(), clip.y(), clip.width(), clip.height()
    for at in _steps(world.m11() * step, world.dx(), x, width):
        painter.fillRect(at, y, 1, height, colour)
    for at in _steps(world.m22() * step, world.dy(), y, height):
        painter.fillRect(x, at, width, 1, colour)


def _steps(step_px: float, origin_px: float, start: int, length: int) -> list[int]:
    """Return the pixels from a start on in which lines at even steps lie."""
    step = abs(step_px)
    first = np.ceil((start - origin_px) / step)
    count = int(length / step) + 2
    at = np.floor(origin_px + (first + np.arange(count)) * step + 1e-6)
    found: list[int] = at[(at >= start) & (at < start + length)].astype(int).tolist()
    return found
