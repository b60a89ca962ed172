"""A pin for the probe, and a flag for the worst place."""

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.over.overlay import BOLD, Overlay
from app.canvas.words.lettering import PAD_PX, TEXT_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint, points_between

PIN_PX, FLAG_PX = 22.0, 26.0
"""How high a pin and a flag are. [px]"""

EDGE_PX = 4.0
"""A word stays this far from the edges of the window. [px]"""


class Marker(Overlay):
    """A pin or a flag that stands on a place of track, with a word beside its head.

    Near an edge of the window the word stands on its other side, or the head below
    its foot, so that all of it can be read.
    """

    LIFT_PX, DROOP_PX, GAP_PX = PIN_PX, 0.0, 12.0
    """From the foot up to the head, back to the word's middle, and across to it. [px]
    """

    def __init__(self, look: Look, z: float) -> None:
        super().__init__(look, z)
        self._at: QPointF | None = None
        self._word = ""
        self._across, self._up = 1.0, 1.0
        self._covered_at = 0.0

    @property
    def word(self) -> str:
        """What is written on it; empty where it does not stand."""
        return self._word if self._at is not None else ""

    @property
    def word_area(self) -> QRectF:
        """Where that is written now, as seen on the screen from the foot. [px]"""
        width, height = self.look.words.size(self._word, BOLD)
        near = self._across * self.GAP_PX
        left = near if self._across > 0.0 else near - width
        middle = self._up * (self.DROOP_PX - self.LIFT_PX)
        return QRectF(left, middle - 0.5 * height, width, height)

    def stand(self, at: tuple[float, float] | None, word: str = "") -> None:
        """Stand on a plan point, or nowhere. [mm]"""
        place = QPointF(*at) if at is not None else None
        if (place, word) == (self._at, self._word):
            return
        self._at, self._word = place, word
        self._take_room()

    def keep_in(self, seen: QRectF) -> None:
        """Turn the word to where all of it is seen in a part of the plan. [mm]"""
        foot = self._at
        if foot is None:
            return
        before = self._across, self._up
        self._across = self._up = 1.0
        if seen.contains(foot):
            px, word = self.look.px_per_mm, self.word_area
            right, left = (seen.right() - foot.x()) * px, (foot.x() - seen.left()) * px
            if self.look.underside:
                left, right = right, left
            above, below = (seen.bottom() - foot.y()) * px, (foot.y() - seen.top()) * px
            self._across = _way(word.right() + EDGE_PX, right, left)
            height = max(self.LIFT_PX, -word.top())
            self._up = _way(height + EDGE_PX, above, below)
        if (before, self.look.px_per_mm) != (
            (self._across, self._up),
            self._covered_at,
        ):
            self._take_room()

    def footprint(self, step_mm: float) -> Footprint:
        """Return what it covers, so that no word is put there."""
        if self._at is None:
            return NO_FOOTPRINT
        unit, word = self.look.mm_per_px, self.word_area
        far = self._across * (self.GAP_PX + word.width() + PAD_PX)
        right = far * self._side * unit
        foot = self._at
        head = self._up * (self.LIFT_PX + 0.5 * word.height()) * unit
        points = [
            points_between((foot.x(), foot.y()), (foot.x(), foot.y() + head), step_mm)
        ]
        for up in (0.4, 0.7, 1.0):
            y = foot.y() + up * head
            points.append(points_between((foot.x(), y), (foot.x() + right, y), step_mm))
        return Footprint(np.concatenate(points))

    @property
    def _side(self) -> float:
        """Which way of the plan is to the right on the screen."""
        return -1.0 if self.look.underside else 1.0

    def _take_room(self) -> None:
        self._covered_at = self.look.px_per_mm
        words = self.look.words.size(self._word, BOLD)[0]
        if self._at is None:
            self.cover(QRectF())
            return
        area = QRectF(self._at.x(), self._at.y(), 1.0, 1.0)
        right, left = (words, 0.0) if self._across > 0.0 else (0.0, words)
        self.cover(area, right, left)

    def _foot_and_head(self) -> tuple[QPointF, QPointF] | None:
        """Return the place it stands on, and a point above it on the screen."""
        if self._at is None:
            return None
        lift = self._up * self.LIFT_PX * self.look.mm_per_px
        return self._at, QPointF(self._at.x(), self._at.y() + lift)

    def _write(self, painter: QPainter, head: QPointF, colour: str) -> None:
        """Write the word beside the head."""
        droop = self._up * self.DROOP_PX
        style = Style(colour, self.look.theme.paper, TEXT_PX, bold=True)
        self.look.words.put(
            painter,
            head,
            self._word,
            style,
            shift_px=(self._across * self.GAP_PX, droop),
            align="left" if self._across > 0.0 else "right",
        )


def _way(needed_px: float, room_px: float, other_px: float) -> float:
    """Return 1 to stay on the usual side, -1 for the other where that has more room."""
    return -1.0 if room_px < needed_px and other_px > room_px else 1.0


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
        ends = self._foot_and_head()
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
            self._write(painter, head, theme.accent)


class WorstFlag(Marker):
    """The worst place of what is shown along the track."""

    LIFT_PX, DROOP_PX, GAP_PX = FLAG_PX, 5.0, 18.0

    def __init__(self, look: Look) -> None:
        super().__init__(look, 90.0)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint it."""
        ends = self._foot_and_head()
        if ends is None:
            return
        foot, head = ends
        theme, unit = self.look.theme, self.look.mm_per_px
        way, up = self._across * self._side * unit, self._up * unit
        painter.setPen(self.look.pen(theme.poor, 1.8))
        painter.drawLine(QLineF(foot, head))
        painter.setBrush(QBrush(QColor(theme.poor)))
        cloth = [
            head,
            QPointF(head.x() + way * 14.0, head.y() - up * self.DROOP_PX),
            QPointF(head.x(), head.y() - up * 10.0),
        ]
        painter.drawPolygon(QPolygonF(cloth))
        painter.drawEllipse(foot, 2.2 * unit, 2.2 * unit)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        self._write(painter, head, theme.poor)
