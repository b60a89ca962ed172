"""Small pictures that are painted once, and then put wherever they stand."""

from typing import Protocol

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap, QTransform

from app.canvas.look import Look

KEPT = 64
"""How many pictures are kept ready."""


class Stamp(Protocol):
    """A small picture, the same wherever it stands; those are equal that look so."""

    def half_px(self, look: Look) -> float:
        """Return how far it reaches from its middle. [px]"""

    def paint(self, painter: QPainter, look: Look) -> None:
        """Paint it about the origin, in pixels."""

    def __hash__(self) -> int:
        """Return the same for those that look the same."""


def picture_of(stamp: Stamp, look: Look, ratio: float) -> QPixmap:
    """Return a stamp's picture, its middle where the stamp's is.

    Parameters
    ----------
    ratio : float
        Pixels of the screen for one of the window's. [1]
    """
    half = stamp.half_px(look)
    key = (stamp, half, ratio)
    picture = look.stamps.get(key)
    if picture is None:
        side = 2 * round(half + 1.5)
        picture = QPixmap(round(side * ratio), round(side * ratio))
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(0.5 * side, 0.5 * side)
        stamp.paint(painter, look)
        painter.end()
        if len(look.stamps) >= KEPT:
            look.stamps.clear()
        look.stamps[key] = picture
    return picture


def put_stamp(painter: QPainter, look: Look, stamp: Stamp, at: QPointF) -> None:
    """Put a stamp on a plan point, with a painter for plan coordinates. [mm]"""
    picture = picture_of(stamp, look, painter.device().devicePixelRatioF())
    half = 0.5 * picture.deviceIndependentSize().width()
    world = painter.worldTransform()
    there = world.map(at)
    painter.setWorldTransform(QTransform())
    # Whole pixels: sharper, and steady while the drawing is scrolled.
    painter.drawPixmap(round(there.x() - half), round(there.y() - half), picture)
    painter.setWorldTransform(world)
