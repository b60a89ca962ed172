"""What the symbols of devices share: a box, a name, a place to be hit."""

from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath

from app.canvas.drawings.afar import Afar
from app.canvas.drawings.drawing import HIT_PX, WIDE, box
from app.canvas.lines.batch import LEAST_PX
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short
from app.canvas.words.lettering import TEXT_PX, Style
from app.canvas.words.placer import Footprint

NAME_GAP_PX = 4.0
"""Between a symbol and its name. [px]"""

DETAIL_FROM_PX = 26.0
"""Narrower symbols are an empty box. [px]"""

SMALL_FROM_PX_PER_MM = 0.16
"""Below this zoom only the id stands beside a symbol. [px/mm]"""


class Symbol:
    """A box in plan, drawn no smaller than can be seen."""

    girth_mm = 0.0
    room = WIDE

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

    def from_afar(self) -> Afar:
        """Return its box."""
        return Afar(
            box=np.array((self.centre.x(), self.centre.y(), *self.size_mm), np.float64)
        )

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
        if look.is_rough:
            inner = 0.8 * look.mm_per_px
            painter.fillRect(
                frame.adjusted(-inner, -inner, inner, inner), QColor(look.theme.device)
            )
            painter.fillRect(
                frame.adjusted(inner, inner, -inner, -inner), QColor(look.theme.paper)
            )
            return frame
        painter.setPen(look.pen(look.theme.device, 1.6))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        painter.drawRect(frame)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        return frame

    def has_detail(self, look: Look) -> bool:
        """Return whether it is wide enough on screen for more than a box."""
        return self.size_mm[0] * look.px_per_mm >= DETAIL_FROM_PX

    def words(self, look: Look, name: str, figures: str) -> tuple[Label, ...]:
        """Return the name with the figures below it: under the box, over it, beside."""
        frame = self.frame(look.mm_per_px)
        theme = look.theme
        head = Style(theme.ink, theme.paper, TEXT_PX, bold=True)
        foot = figures if look.px_per_mm >= SMALL_FROM_PX_PER_MM else ""
        label = Label(
            cut_short(name), head, frame.center(), (), 0, must=True, foot=foot
        )
        width, height = label.size(look)
        across = 0.5 * (frame.width() * look.px_per_mm + width) + NAME_GAP_PX
        up = 0.5 * (frame.height() * look.px_per_mm + height) + NAME_GAP_PX
        spots = (
            *((0.0, up), (0.0, -up), (across, 0.0), (-across, 0.0)),
            *((x, y) for y in (up, -up) for x in (across, -across)),
        )
        return (replace(label, spots=spots),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return the whole box."""
        frame = self.frame(look.mm_per_px)
        x = np.linspace(frame.left(), frame.right(), int(frame.width() / step_mm) + 2)
        y = np.linspace(frame.top(), frame.bottom(), int(frame.height() / step_mm) + 2)
        across, up = np.meshgrid(x, y)
        return Footprint(np.column_stack((across.ravel(), up.ravel())))
