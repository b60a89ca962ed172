"""What the drawing of a part can do; the scene wraps each in one item."""

from math import floor, log2
from typing import Protocol

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPainterPathStroker, QPolygonF

from app.canvas.drawings.afar import Afar
from app.canvas.look import Look
from app.canvas.words.label import Label
from app.canvas.words.placer import Footprint

MARGIN_PX = 32.0
"""Room about a part for lines whose size is in pixels; words may need more. [px]"""

MARGIN_MM = 40.0
"""Room about a part for ties and the like, whose size is in plan. [mm]"""

Room = tuple[float, float]
"""How far lines reach beyond the bounds of a drawing: those whose size is in pixels,
and those whose size is in plan. [px, mm]"""

WIDE: Room = (MARGIN_PX, MARGIN_MM)

HIT_PX = 5.0
"""A line is hit from this far. [px]"""


class Drawing(Protocol):
    """The drawing of one part.

    Attributes
    ----------
    girth_mm : float
        How wide the lines of its outline are drawn in plan, if they are. [mm]
    room : (float, float)
        How far its lines reach beyond its bounds, besides words. [px, mm]
    """

    girth_mm: float
    room: Room

    def bounds(self) -> QRectF:
        """Return the box around the part, without the margin. [mm]"""

    def outline(self) -> QPainterPath:
        """Return the lines that stand for the part: lit up when it is selected."""

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return where the part is hit. [mm]"""

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        """Paint the part, without its labels."""

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return the words that belong to it at the present zoom."""

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return what it covers, so that no word is put there."""


class Small(Drawing, Protocol):
    """The drawing of a small thing, of which there may be thousands."""

    def from_afar(self) -> Afar:
        """Return what stands for it from afar, always the same."""


def widen(path: QPainterPath, width_mm: float) -> QPainterPath:
    """Return the area within half a width of some lines."""
    stroker = QPainterPathStroker()
    stroker.setWidth(width_mm)
    return stroker.createStroke(path)


def polyline(points: "list[tuple[float, float]]") -> QPainterPath:
    """Return a path through points. [mm]"""
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in points]))
    return path


def box(x_mm: float, y_mm: float, width_mm: float, depth_mm: float) -> QRectF:
    """Return a box about its centre. [mm]"""
    return QRectF(x_mm - 0.5 * width_mm, y_mm - 0.5 * depth_mm, width_mm, depth_mm)


def octave_mm(target_px: float, px_per_mm: float) -> float:
    """Return a power of two of millimetres that is about so wide on screen. [mm]

    Between one and two times `target_px`, so that marks stay put while zooming.
    """
    return float(2.0 ** (floor(log2(target_px / px_per_mm)) + 1))
