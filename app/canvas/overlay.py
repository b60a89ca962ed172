"""What lies on top: previews, the probe, the worst place, handles."""

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.drawing import MARGIN_MM, Drawing
from app.canvas.label import paint_labels
from app.canvas.lettering import TEXT_PX, Style
from app.canvas.look import Look
from app.canvas.placer import NO_FOOTPRINT, Footprint, points_between
from app.tools.marks import Frame, Mark, Spot, Stroke
from app.tools.selecting.handles import Handle

ROOM_PX = 48.0
"""Room about an overlay's points, on top of that for its words. [px]"""

_BOLD = Style("", None, TEXT_PX, bold=True)

SPOT_PX, PLAIN_PX = 6.0, 3.0
HANDLE_PX = 4.5
PIN_PX, FLAG_PX = 22.0, 26.0


class Overlay(QGraphicsItem):
    """What all overlays share: a box about their points, with room for words."""

    def __init__(self, look: Look, z: float) -> None:
        super().__init__()
        self.look = look
        self._bounds = QRectF()
        self.setZValue(z)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    def cover(self, area: QRectF, words_px: float = 0.0) -> None:
        """Take up an area, with room for words on its right; null for nothing."""
        self.prepareGeometryChange()
        unit = self.look.mm_per_px
        room, words = ROOM_PX * unit, (ROOM_PX + words_px) * unit
        left, right = (words, room) if self.look.underside else (room, words)
        self._bounds = (
            area.adjusted(-left, -room, right, room) if not area.isNull() else QRectF()
        )
        self.update()

    # Qt overrides

    def boundingRect(self) -> QRectF:
        """Return the box that everything painted stays in."""
        return self._bounds


class Preview(Overlay):
    """The marks of a tool, and the ghosts of parts that are not there yet."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 95.0)
        self._marks: tuple[Mark, ...] = ()
        self._ghosts: tuple[Drawing, ...] = ()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """What is shown."""
        return self._marks

    @property
    def ghosts(self) -> tuple[Drawing, ...]:
        """The parts that are shown though they are not there yet."""
        return self._ghosts

    def show_marks(self, marks: tuple[Mark, ...], ghosts: tuple[Drawing, ...]) -> None:
        """Show these and nothing else."""
        self._marks, self._ghosts = marks, ghosts
        area = QRectF()
        for ghost in ghosts:
            area = _join(area, ghost.bounds(), MARGIN_MM)
        words = 120.0 if ghosts else 0.0
        for mark in marks:
            for x, y in _points(mark):
                area = _join(area, QRectF(x, y, 0.0, 0.0), 1.0)
            if isinstance(mark, Spot) and mark.word:
                words = max(words, self.look.words.size(mark.word, _BOLD)[0])
        self.cover(area, words)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint ghosts, then marks."""
        look = self.look.ghost()
        for ghost in self._ghosts:
            ghost.paint(painter, look, self._bounds)
            paint_labels(painter, look, ghost.labels(look), ())
        for mark in self._marks:
            match mark:
                case Stroke():
                    _paint_stroke(painter, self.look, mark)
                case Frame():
                    _paint_frame(painter, self.look, mark)
                case Spot():
                    _paint_spot(painter, self.look, mark)
                case _:
                    pass


class Handles(Overlay):
    """Small squares where the selected part can be pulled."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 92.0)
        self._handles: tuple[Handle, ...] = ()

    @property
    def shown(self) -> tuple[Handle, ...]:
        """What is shown."""
        return self._handles

    def show_handles(self, handles: tuple[Handle, ...]) -> None:
        """Show these and no others."""
        self._handles = handles
        area = QRectF()
        for handle in handles:
            area = _join(area, QRectF(handle.x_mm, handle.y_mm, 0.0, 0.0), 1.0)
        self.cover(area)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint them."""
        theme = self.look.theme
        half = HANDLE_PX * self.look.mm_per_px
        painter.setPen(self.look.pen(theme.selected, 1.6))
        painter.setBrush(QBrush(QColor(theme.paper)))
        for handle in self._handles:
            x, y = handle.x_mm, handle.y_mm
            painter.drawRect(QRectF(x - half, y - half, 2 * half, 2 * half))
        painter.setBrush(Qt.BrushStyle.NoBrush)


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
        self._at = QPointF(*at) if at is not None else None
        self._word = word
        area = QRectF() if at is None else QRectF(*at, 1.0, 1.0)
        self.cover(area, self.look.words.size(word, _BOLD)[0])

    def footprint(self, step_mm: float) -> Footprint:
        """Return what it covers, so that no word is put there."""
        if self._at is None:
            return NO_FOOTPRINT
        look, side = self.look, -1.0 if self.look.underside else 1.0
        width, height = look.words.size(self._word, _BOLD)
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


def _points(mark: Mark) -> tuple[tuple[float, float], ...]:
    match mark:
        case Stroke():
            return mark.points
        case Frame():
            return (mark.x0_mm, mark.y0_mm), (mark.x1_mm, mark.y1_mm)
        case Spot():
            return ((mark.x_mm, mark.y_mm),)
        case _:
            return ()


def _join(area: QRectF, other: QRectF, margin: float) -> QRectF:
    other = other.adjusted(-margin, -margin, margin, margin)
    return other if area.isNull() else area.united(other)


def _paint_stroke(painter: QPainter, look: Look, mark: Stroke) -> None:
    colour = look.theme.accent if mark.style == "measure" else look.theme.preview
    width = 1.6 if mark.style == "measure" else 1.3
    stroke = "dash" if mark.style == "guide" else "solid"
    painter.setPen(look.pen(colour, width, "dash" if stroke == "dash" else "solid"))
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in mark.points]))


def _paint_frame(painter: QPainter, look: Look, mark: Frame) -> None:
    colour = QColor(look.theme.selected)
    solid = mark.style == "box"
    painter.setPen(look.pen(look.theme.selected, 1.2, "solid" if solid else "dash"))
    colour.setAlpha(26)
    painter.setBrush(QBrush(colour))
    corner, other = QPointF(mark.x0_mm, mark.y0_mm), QPointF(mark.x1_mm, mark.y1_mm)
    painter.drawRect(QRectF(corner, other).normalized())
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_spot(painter: QPainter, look: Look, mark: Spot) -> None:
    theme, at = look.theme, QPointF(mark.x_mm, mark.y_mm)
    colour = theme.hazard if mark.style == "refused" else theme.preview
    radius = (PLAIN_PX if mark.style == "plain" else SPOT_PX) * look.mm_per_px
    painter.setPen(QPen(look.pen(colour, 1.8)))
    if mark.style == "plain":
        painter.setBrush(QBrush(QColor(colour)))
    painter.drawEllipse(at, radius, radius)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if mark.style == "refused":
        reach = 0.7 * radius
        x, y = at.x(), at.y()
        painter.drawLine(QLineF(x - reach, y - reach, x + reach, y + reach))
    if mark.word:
        style = Style(colour, theme.paper, TEXT_PX, bold=True)
        look.words.put(
            painter, at, mark.word, style, shift_px=(12.0, -14.0), align="left"
        )
