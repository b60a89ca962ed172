"""A turntable or traverser: its pit, the ring with its cuts, the bridge's deck."""

from dataclasses import dataclass
from math import cos, pi, radians, sin

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.canvas.drawings.drawing import HIT_PX, WIDE, box, widen
from app.canvas.look import Look, mix
from app.canvas.words.label import Label, cut_short, spot_beside, spots_around
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import Footprint
from core.layout.geometry import Pose
from core.layout.parts import Turntable
from core.layout.turntables import is_swapping, swap_line_deg

PIT_SHARE = 0.88
"""How much paper is mixed into the floor of a pit. [1]"""

RING_SHARE = 0.82
"""Radius of the ring rail. [radii of the pit]"""

RING_GAP_DEG = 8.0
"""How much of the ring is left out at a cut, as drawn; shown on each side. [°]"""

DECK_GAUGES = 2.3
"""Width of the bridge's deck. [gauges]"""

RUNNER_SHARE = 0.31
"""Where a traverser's runners lie, from its middle. [sizes along the bridge]"""

PICKUP_PX, CUT_PX = 7.0, 10.0
"""Size of a pick-up, and of the bars at a cut. [px]"""

NUMBER_PX = 7.0
"""How far beside its rails the number of a stall stands. [px]"""

NUMBER_ALONG_PX = (12.0, 22.0, 36.0, 54.0, 76.0)
"""How far outside the edge, best first: roads of a fan draw apart. [px]"""

NEAR_PX = 60.0
"""From this size on screen ring, cuts and numbers are drawn. [px]"""

NAME_FROM_PX_PER_MM = 0.12
STEPS = 120


@dataclass(frozen=True, slots=True)
class PitPlan:
    """Where everything of a pit lies in plan.

    Attributes
    ----------
    bridge : Pose
        Middle of the bridge, and the way it lies. [mm, rad]
    stalls : tuple of Pose or None
        The run ends at the pit, looking out of their runs, by number; None: gone.
    """

    table: Turntable
    bridge: Pose
    stalls: tuple[Pose | None, ...]
    gauge_mm: float


class PitDrawing:
    """The drawing of one pit; the bridge's track lies on it as a run."""

    girth_mm = 0.0
    room = WIDE

    def __init__(self, plan: PitPlan) -> None:
        self._plan = plan
        table = plan.table
        self._centre = QPointF(table.x_mm, table.y_mm)
        self._radius = 0.5 * table.across_mm
        self._edge = self._circle() if table.form == "turntable" else self._rectangle()
        self._deck = self._deck_corners()

    def bounds(self) -> QRectF:
        """Return the box around the pit. [mm]"""
        return self._edge.boundingRect()

    def outline(self) -> QPainterPath:
        """Return the edge of the pit."""
        path = QPainterPath()
        path.addPolygon(self._edge)
        path.closeSubpath()
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return all of the pit with a small border."""
        path = widen(self.outline(), HIT_PX * mm_per_px)
        path.addPolygon(self._edge)
        path.setFillRule(Qt.FillRule.WindingFill)
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it: the floor, the ring with its cuts, the deck of the bridge."""
        theme = look.theme
        painter.setPen(look.pen(theme.rail, 1.8))
        painter.setBrush(QBrush(QColor(mix(theme.tie, theme.paper, PIT_SHARE))))
        painter.drawPolygon(self._edge)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._is_near(look) and not look.is_rough:
            if self._plan.table.form == "turntable":
                self._paint_ring(painter, look)
            else:
                self._paint_runners(painter, look)
        painter.setPen(look.pen(theme.rail, 1.0))
        painter.setBrush(QBrush(QColor(theme.paper)))
        painter.drawPolygon(self._deck)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self._is_near(look) and not look.is_rough and self._has_ring():
            self._paint_pickups(painter, look)
            if is_swapping(self._plan.table):
                for cut in (0.0, 180.0):
                    self._paint_cut(painter, look, self._plan.table.split_deg + cut)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, the numbers of its stalls, and the split's mark."""
        table, theme = self._plan.table, look.theme
        if look.px_per_mm < NAME_FROM_PX_PER_MM:
            return ()
        style = Style(theme.ink, theme.paper, SMALL_PX, bold=True)
        text = cut_short(f"{table.id} {table.name}".strip())
        low = QPointF(self._centre.x(), self.bounds().top())
        spots = spots_around(look, text, style, way=(0.0, -1.0), gap_px=6.0)
        found = [Label(text, style, low, spots, rank=1, must=True)]
        if not self._is_near(look):
            return tuple(found)
        number = Style(theme.accent, theme.paper, SMALL_PX, bold=True)
        for n, pose in enumerate(self._plan.stalls, start=1):
            if pose is not None:
                found.append(self._number(look, n, pose, number))
        if is_swapping(table):
            quiet = Style(theme.faint, theme.paper, SMALL_PX)
            at = self._on_ring(table.split_deg)
            way = self._way(table.split_deg)
            inside = (-way[0], -way[1])
            word = "split"
            spot = spot_beside(look, word, quiet, inside, CUT_PX + 2.0)
            found.append(Label(word, quiet, at, (spot,), rank=7))
        return tuple(found)

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return the edge of the pit."""
        corners = (self._edge.at(i) for i in range(self._edge.count()))
        points = [(p.x(), p.y()) for p in corners]
        return Footprint(np.array(points, np.float64).reshape(-1, 2))

    def _is_near(self, look: Look) -> bool:
        return 2.0 * self._radius * look.px_per_mm >= NEAR_PX

    def _has_ring(self) -> bool:
        return self._plan.table.form == "turntable"

    def _number(self, look: Look, number: int, pose: Pose, style: Style) -> Label:
        """Return the number of a stall: beside its track, free of the others."""
        text = str(number)
        at = QPointF(pose.x_mm, pose.y_mm)
        out = pose.heading + pi
        beside_px = NUMBER_PX + 0.95 * look.gauge_px
        spots: list[tuple[float, float]] = []
        for along_px in NUMBER_ALONG_PX:
            for side in (-1.0, 1.0):
                x = along_px * cos(out) - side * beside_px * sin(out)
                y = along_px * sin(out) + side * beside_px * cos(out)
                spots.append((-x if look.underside else x, -y))
        return Label(text, style, at, tuple(spots), rank=2, must=True)

    def _paint_ring(self, painter: QPainter, look: Look) -> None:
        table, theme = self._plan.table, look.theme
        radius = RING_SHARE * self._radius
        ring = box(self._centre.x(), self._centre.y(), 2.0 * radius, 2.0 * radius)
        painter.setPen(look.pen(theme.device, 1.6))
        if not is_swapping(table):
            painter.drawEllipse(ring)
        else:
            # Qt counts sixteenths of a degree, clockwise as y is turned over.
            for start in (table.split_deg, table.split_deg + 180.0):
                first = round(-16.0 * (start + RING_GAP_DEG))
                painter.drawArc(ring, first, -round(16.0 * (180.0 - 2 * RING_GAP_DEG)))
        if is_swapping(table) or table.stops:
            line = swap_line_deg(table)
            painter.setPen(look.pen(theme.faint, 1.2, "dash"))
            ends = [
                QPointF(
                    self._centre.x() + 0.97 * self._radius * way[0],
                    self._centre.y() + 0.97 * self._radius * way[1],
                )
                for way in (self._way(line), self._way(line + 180.0))
            ]
            painter.drawLine(QLineF(*ends))

    def _paint_cut(self, painter: QPainter, look: Look, cut_deg: float) -> None:
        """Paint two short bars across the ring, one at each end of a half."""
        half = 0.5 * CUT_PX * look.mm_per_px
        painter.setPen(look.pen(look.theme.ink, 1.8))
        for side in (-RING_GAP_DEG, RING_GAP_DEG):
            way = self._way(cut_deg + side)
            at = self._on_ring(cut_deg + side)
            out = QPointF(way[0] * half, way[1] * half)
            painter.drawLine(QLineF(at - out, at + out))

    def _paint_pickups(self, painter: QPainter, look: Look) -> None:
        lag = 90.0 if self._plan.table.pickups == "sides" else 0.0
        heading = self._plan.bridge.heading * 180.0 / pi
        size = PICKUP_PX * look.mm_per_px
        painter.setPen(look.pen(look.theme.device, 1.4))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        for turn in (heading + lag, heading + lag + 180.0):
            at = self._on_ring(turn)
            middle = QPointF(
                self._centre.x() + 0.25 * (at.x() - self._centre.x()),
                self._centre.y() + 0.25 * (at.y() - self._centre.y()),
            )
            if lag:
                painter.drawLine(QLineF(middle, at))
            painter.drawRect(box(at.x(), at.y(), size, size))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_runners(self, painter: QPainter, look: Look) -> None:
        table = self._plan.table
        axis = Pose(table.x_mm, table.y_mm, self._plan.bridge.heading)
        painter.setPen(look.pen(look.theme.device, 1.4))
        for share in (-RUNNER_SHARE, RUNNER_SHARE):
            along = share * table.across_mm
            there = Pose(
                axis.x_mm + along * cos(axis.heading),
                axis.y_mm + along * sin(axis.heading),
                axis.heading,
            )
            half = 0.5 * table.travel_mm
            painter.drawLine(
                QLineF(QPointF(*there.left(half)), QPointF(*there.left(-half)))
            )

    def _circle(self) -> QPolygonF:
        turns = np.linspace(0.0, 2.0 * pi, STEPS, endpoint=False)
        x, y, r = self._centre.x(), self._centre.y(), self._radius
        return QPolygonF([QPointF(x + r * cos(t), y + r * sin(t)) for t in turns])

    def _rectangle(self) -> QPolygonF:
        table = self._plan.table
        axis = Pose(table.x_mm, table.y_mm, self._plan.bridge.heading)
        return _block(axis, table.across_mm, table.travel_mm)

    def _deck_corners(self) -> QPolygonF:
        width = DECK_GAUGES * self._plan.gauge_mm
        return _block(self._plan.bridge, self._plan.table.across_mm, width)

    def _way(self, angle_deg: float) -> tuple[float, float]:
        return cos(radians(angle_deg)), sin(radians(angle_deg))

    def _on_ring(self, angle_deg: float) -> QPointF:
        x, y = self._way(angle_deg)
        radius = RING_SHARE * self._radius
        return QPointF(self._centre.x() + radius * x, self._centre.y() + radius * y)


def _block(middle: Pose, long_mm: float, wide_mm: float) -> QPolygonF:
    """Return a rectangle that lies along a pose. [mm]"""
    corners: list[QPointF] = []
    for along, left in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        ahead = Pose(
            middle.x_mm + along * long_mm * cos(middle.heading),
            middle.y_mm + along * long_mm * sin(middle.heading),
            middle.heading,
        )
        corners.append(QPointF(*ahead.left(left * wide_mm)))
    return QPolygonF(corners)
