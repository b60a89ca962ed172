"""A pin for the probe, and a flag for the worst place."""

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.over.overlay import BOLD, Overlay
from app.canvas.words.lettering import TEXT_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint, points_between

PIN_PX, FLAG_PX = 22.0, 26.0


class Marker(Overlay):
    """A pin or a flag that stands on a place of track, with a word."""

    def __init__(self, look: Look, z: float) -> None:
        super().__init__(look, z)
        self._at: QPointF | None = None
        self._word = ""

    @property
    def word(self) -> str:
        """What is written on it; empty where it does not stand."""
        return self._word if self._at is not None else ""

    def stand(self, at: tuple[float, float] | None, word: str = "") -> None:
        """Stand on a plan point, or nowhere. [mm]"""
        place = QPointF(*at) if at is not None else None
        if (place, word) == (self._at, self._word):
            return
        self._at, self._word = place, word
        area = QRectF() if at is None else QRectF(*at, 1.0, 1.0)
        self.cover(area, self.look.words.size(word, BOLD)[0])

    def footprint(self, step_mm: float) -> Footprint:
        """Return what it covers, so that no word is put there."""
        if self._at is None:
            return NO_FOOTPRINT
        look, side = self.look, -1.0 if self.look.underside else 1.0
        width, height = look.words.size(self._word, BOLD)
        right = side * (width + 20.0) * look.mm_per_px
        foot, head = self._at, (FLAG_PX + 0.5 * height) * look.mm_per_px
        points = [
            points_between((foot.x(), foot.y()), (foot.x(), foot.y() + head), step_mm)
        ]
        for up in (0.4, 0.7, 1.0):
            y = foot.y() + up * head
            points.append(points_between((foot.x(), y), (foot.x() + right, y), step_mm))
        return Footprint(np.concatenate(points))

    def foot_and_head(self, height_px: float) -> tuple[QPointF, QPointF] | None:
        """Return the place it stands on, and a point above it on the screen."""
        if self._at is None:
            return None
        lift = height_px * self.look.mm_per_px
        return self._at, QPointF(self._at.x(), self._at.y() + lift)


class ProbePin(Marker):
    """The probe: a pin with what it reads."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 91.0)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint it."""
        ends = self.foot_and_head(PIN_PX)
        if ends is None:
            return
        foot, head = ends
        theme, unit = self.look.theme, self.look.mm_per_px
        painter.setPen(self.look.pen(theme.accent, 2.0))
        painter.drawLine(QLineF(foot, head))
        painter.setBrush(QBrush(QColor(theme.accent)))
        painter.setPen(self.look.pen(theme.paper, 1.5))
        painter.drawEllipse(head, 6.5 * unit, 6.5 * unit)
        painter.drawEllipse(foot, 3.5 * unit, 3.5 * unit)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._word:
            style = Style(theme.accent, theme.paper, TEXT_PX, bold=True)
            self.look.words.put(
                painter, head, self._word, style, shift_px=(12.0, 0.0), align="left"
            )


class WorstFlag(Marker):
    """The worst place of what is shown along the track."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 90.0)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint it."""
        ends = self.foot_and_head(FLAG_PX)
        if ends is None:
            return
        foot, head = ends
        theme, unit = self.look.theme, self.look.mm_per_px
        side = -1.0 if self.look.underside else 1.0
        painter.setPen(self.look.pen(theme.poor, 1.8))
        painter.drawLine(QLineF(foot, head))
        painter.setBrush(QBrush(QColor(theme.poor)))
        cloth = [
            head,
            QPointF(head.x() + side * 14.0 * unit, head.y() - 5.0 * unit),
            QPointF(head.x(), head.y() - 10.0 * unit),
        ]
        painter.drawPolygon(QPolygonF(cloth))
        painter.drawEllipse(foot, 2.2 * unit, 2.2 * unit)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        style = Style(theme.poor, theme.paper, TEXT_PX, bold=True)
        self.look.words.put(
            painter, head, self._word, style, shift_px=(18.0, 5.0), align="left"
        )
