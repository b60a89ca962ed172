"""A drop: solder points on the rails, a thin lead, where it ends, and its id."""

from dataclasses import dataclass
from math import cos, hypot, sin

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath

from app.canvas.drawings.afar import Afar, Strand, dot
from app.canvas.drawings.drawing import HIT_PX, Room, polyline, widen
from app.canvas.lines.stamps import put_stamp
from app.canvas.look import Look, Stroke
from app.canvas.words.label import XY, Label, spot_beside, spots_around
from app.canvas.words.lettering import TEXT_PX, Style
from app.canvas.words.placer import Footprint, points_between
from core.layout.geometry import Pose
from core.layout.parts import Drop

ID_FROM_PX_PER_MM = 0.11
RAILS_FROM_PX = 9.0
LEAD_FROM_PX = 44.0
LEAD_AT_PX = (18.0, 30.0)
"""How far down its lead an id may stand. [px]"""

LOOSE_MM = 45.0
"""How long the tail of a drop is drawn that ends nowhere. [mm]"""

DOT_MM, DOT_LEAST_PX, DOT_MOST_PX = 9.0, 2.6, 4.5

ROOM_PX = 8.0

_LEAD = Strand("drop", 1.2)
_HOLE = Strand("drop", 2.0 * DOT_LEAST_PX, runs_on=True, is_fine=True)
_END = Strand("drop", 1.5 * DOT_LEAST_PX, runs_on=True, is_fine=True)
_LOOSE_END = Strand("hazard", 1.5 * DOT_LEAST_PX, runs_on=True, is_fine=True)


@dataclass(frozen=True, slots=True)
class Dot:
    """Where a drop is soldered, seen from so far that both rails are one."""

    radius_px: float

    def half_px(self, look: Look) -> float:  # noqa: ARG002
        """Return how far it reaches from its middle. [px]"""
        return self.radius_px

    def paint(self, painter: QPainter, look: Look) -> None:
        """Paint it about the origin, in pixels."""
        painter.setPen(look.pen(look.theme.paper, 1.0))
        painter.setBrush(QBrush(QColor(look.theme.drop)))
        painter.drawEllipse(QPointF(), self.radius_px, self.radius_px)
        painter.setBrush(Qt.BrushStyle.NoBrush)


class DropDrawing:
    """The drawing of one drop."""

    girth_mm = 0.0

    def __init__(
        self, drop: Drop, pose: Pose, end: tuple[float, float] | None, gauge_mm: float
    ) -> None:
        self._drop = drop
        self._pose = pose
        self._is_loose = end is None
        self._gauge_mm = gauge_mm
        self.room: Room = (ROOM_PX, gauge_mm)
        self._hole = (pose.x_mm, pose.y_mm)
        self._end = end or pose.left(-LOOSE_MM)

    @property
    def ink(self) -> tuple[object, ...]:
        """What its lines follow from: drawings with equal ink have the same ones."""
        drop = self._drop
        rails = (drop.a_rail, drop.rails, self._gauge_mm)
        return self._pose, self._end, self._is_loose, *rails

    @property
    def text(self) -> tuple[str, ...]:
        """What its words follow from, besides."""
        return (self._drop.id,)

    def bounds(self) -> QRectF:
        """Return the box around its lead. [mm]"""
        return QRectF(QPointF(*self._hole), QPointF(*self._end)).normalized()

    def outline(self) -> QPainterPath:
        """Return its lead."""
        return polyline([self._hole, self._end])

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return the lead and the dot."""
        path = widen(self.outline(), 1.4 * HIT_PX * mm_per_px)
        reach = max(DOT_MM, 1.4 * HIT_PX * mm_per_px)
        path.addEllipse(QPointF(*self._hole), reach, reach)
        path.setFillRule(Qt.FillRule.WindingFill)
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        theme = look.theme
        width = 1.7 if look.underside else 1.3
        stroke: Stroke = "dot" if self._is_loose else "solid"
        painter.setPen(look.pen(theme.drop, width, stroke))
        painter.drawLine(QLineF(QPointF(*self._hole), QPointF(*self._end)))
        dot = look.clamp_px(DOT_MM, DOT_LEAST_PX, DOT_MOST_PX) * look.mm_per_px
        if look.gauge_px >= RAILS_FROM_PX:
            self._paint_solder(painter, look, dot)
        else:
            put_stamp(painter, look, Dot(dot * look.px_per_mm), QPointF(*self._hole))
        self._paint_end(painter, look, 0.75 * dot)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id."""
        if look.px_per_mm < ID_FROM_PX_PER_MM:
            return ()
        theme, text = look.theme, self._drop.id
        style = Style(theme.drop, theme.paper, TEXT_PX, bold=look.underside)
        gap = 3.0 + max(0.92 * look.gauge_px, DOT_LEAST_PX)
        spots = spots_around(look, text, style, way=self._away(), gap_px=gap)
        further = spots_around(look, text, style, way=self._away(), gap_px=gap + 14.0)
        along = self._along_lead(look, text, style)
        at = QPointF(*self._hole)
        return (Label(text, style, at, (*spots, *along, *further), rank=1),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return its lead."""
        return Footprint(points_between(self._hole, self._end, step_mm), firm=False)

    def from_afar(self) -> Afar:
        """Return its lead, and dots at its ends."""
        lead = np.array([[*self._hole, *self._end]])
        end = _LOOSE_END if self._is_loose else _END
        return Afar(((_LEAD, lead), (_HOLE, dot(self._hole)), (end, dot(self._end))))

    def _paint_solder(self, painter: QPainter, look: Look, dot: float) -> None:
        """Paint a full dot on rail A and a ring on rail B, joined by a line."""
        theme, drop = look.theme, self._drop
        half = 0.5 * self._gauge_mm
        a_side = 1.0 if drop.a_rail == "left" else -1.0
        on_a, on_b = self._pose.left(a_side * half), self._pose.left(-a_side * half)
        painter.setPen(look.pen(theme.drop, 1.3))
        painter.drawLine(QLineF(QPointF(*on_a), QPointF(*on_b)))
        if drop.rails in ("both", drop.a_rail):
            self._paint_dot(painter, look, on_a, dot, theme.conductor_a)
        if drop.rails == "both" or drop.rails != drop.a_rail:
            self._paint_dot(painter, look, on_b, dot, theme.paper, theme.conductor_b)

    def _paint_dot(
        self,
        painter: QPainter,
        look: Look,
        at: tuple[float, float],
        radius: float,
        fill: str,
        edge: str = "",
    ) -> None:
        painter.setPen(look.pen(edge or look.theme.paper, 1.6 if edge else 1.0))
        painter.setBrush(QBrush(QColor(fill)))
        painter.drawEllipse(QPointF(*at), radius, radius)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_end(self, painter: QPainter, look: Look, half: float) -> None:
        x, y = self._end
        square = QRectF(x - half, y - half, 2.0 * half, 2.0 * half)
        if self._is_loose:
            painter.setPen(look.pen(look.theme.hazard, 1.6))
            painter.drawLine(QLineF(square.topLeft(), square.bottomRight()))
            painter.drawLine(QLineF(square.bottomLeft(), square.topRight()))
        else:
            painter.fillRect(square, QColor(look.theme.drop))

    def _along_lead(self, look: Look, text: str, style: Style) -> tuple[XY, ...]:
        """Return spots beside the lead, a little way down from the track."""
        dx, dy = self._end[0] - self._hole[0], self._end[1] - self._hole[1]
        length = hypot(dx, dy)
        if length * look.px_per_mm < LEAD_FROM_PX:
            return ()
        way = (dx / length, dy / length)
        side = -1.0 if look.underside else 1.0
        spots: list[XY] = []
        for down in LEAD_AT_PX:
            for aside in ((-way[1], way[0]), (way[1], -way[0])):
                x, y = spot_beside(look, text, style, aside, 4.0)
                spots.append((x + side * way[0] * down, y - way[1] * down))
        return tuple(spots)

    def _away(self) -> tuple[float, float]:
        """Return the way across the track that the lead does not take."""
        h = self._pose.heading
        left = (-sin(h), cos(h))
        dx, dy = self._end[0] - self._hole[0], self._end[1] - self._hole[1]
        if hypot(dx, dy) == 0.0 or dx * left[0] + dy * left[1] < 0.0:
            return left
        return -left[0], -left[1]
