"""What the symbols of devices share: a box, a name, a place to be hit."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath

from app.canvas.drawings.drawing import HIT_PX, box
from app.canvas.lettering import SMALL_PX, TEXT_PX, Style
from app.canvas.look import Look

LEAST_PX = 16.0
"""No symbol is drawn narrower than this, however far away. [px]"""

DETAIL_FROM_PX = 26.0
"""Narrower symbols are an empty box. [px]"""

SMALL_FROM_PX_PER_MM = 0.16
"""Below this zoom only the id stands beside a symbol. [px/mm]"""


class Symbol:
    """A box in plan, drawn no smaller than can be seen."""

    def __init__(self, x_mm: float, y_mm: float, size_mm: tuple[float, float]) -> None:
        self.centre = QPointF(x_mm, y_mm)
        self.size_mm = size_mm

    def frame(self, mm_per_px: float) -> QRectF:
        """Return the box as drawn at a zoom. [mm]"""
        width, depth = self.size_mm
        times = max(1.0, LEAST_PX * mm_per_px / width)
        return box(self.centre.x(), self.centre.y(), width * times, depth * times)

    def bounds(self) -> QRectF:
        """Return the box in plan. [mm]"""
        return box(self.centre.x(), self.centre.y(), *self.size_mm)

    def outline(self) -> QPainterPath:
        """Return the edge of the box."""
        path = QPainterPath()
        path.addRect(self.bounds())
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return the box with a small border."""
        border = 0.5 * HIT_PX * mm_per_px
        path = QPainterPath()
        path.addRect(self.frame(mm_per_px).adjusted(-border, -border, border, border))
        return path

    def paint_box(self, painter: QPainter, look: Look) -> QRectF:
        """Paint the empty box and return it. [mm]"""
        frame = self.frame(look.mm_per_px)
        painter.setPen(look.pen(look.theme.device, 1.6))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        painter.drawRect(frame)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        return frame

    def has_detail(self, look: Look) -> bool:
        """Return whether it is wide enough on screen for more than a box."""
        return self.size_mm[0] * look.px_per_mm >= DETAIL_FROM_PX

    def paint_words(
        self, painter: QPainter, look: Look, name: str, figures: str
    ) -> None:
        """Write the name below the box, and the figures below the name."""
        frame = self.frame(look.mm_per_px)
        foot = QPointF(frame.center().x(), frame.top())  # the lower edge: y is up
        theme = look.theme
        head = Style(theme.ink, theme.paper, TEXT_PX, bold=True)
        look.words.put(painter, foot, name, head, shift_px=(0.0, 11.0))
        if figures and look.px_per_mm >= SMALL_FROM_PX_PER_MM:
            small = Style(theme.faint, theme.paper, SMALL_PX)
            look.words.put(painter, foot, figures, small, shift_px=(0.0, 24.0))
