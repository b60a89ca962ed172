"""A train as a body on the track; a standing load as a lamp."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QTransform

from app.canvas.drawings.afar import Afar, Strand, dot
from app.canvas.drawings.drawing import HIT_PX, Room, polyline, widen
from app.canvas.lines.chunks import Floats
from app.canvas.lines.pair import without_straights
from app.canvas.lines.stamps import put_stamp
from app.canvas.look import Look, mix
from app.canvas.words.label import Label, cut_short, spots_around
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import Footprint, points_between
from core.layout.geometry import Path, Pose
from core.layout.parts import Load

LEAST_GAUGES = 7.0
"""A train of no stated length is drawn this long. [gauges]"""

BODY = 1.5
"""Width of a train. [gauges]"""

LAMP = 0.8
"""Radius of a standing load. [gauges]"""

WORDS_FROM_PX_PER_MM = 0.1
OFF_SHARE = 0.55


ROOM_PX = 12.0

LAMP_PX, TRAIN_PX, EDGE_PX = 5.0, 7.0, 1.4
"""Least radius of a lamp; least width of a train, and of its edge. [px]"""

STAMP_PX = 10.0
"""Lamps up to this size are painted once, and then put where they stand. [px]"""

FILL_SHARE = 0.72
"""How much paper is mixed into the inside of a train. [1]"""


@dataclass(frozen=True, slots=True)
class Lamp:
    """The sign of a standing load: a ring with a cross."""

    is_on: bool
    radius_mm: float

    def half_px(self, look: Look) -> float:
        """Return how far it reaches from its middle. [px]"""
        return max(self.radius_mm * look.px_per_mm, LAMP_PX)

    def paint(self, painter: QPainter, look: Look) -> None:
        """Paint it about the origin, in pixels."""
        radius = self.half_px(look)
        painter.setPen(look.pen(_shade(look, is_on=self.is_on), 1.5))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        painter.drawEllipse(QPointF(), radius, radius)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        reach = radius * 0.7071
        painter.drawLine(QLineF(-reach, -reach, reach, reach))
        painter.drawLine(QLineF(-reach, reach, reach, -reach))


class LoadDrawing:
    """The drawing of one load."""

    def __init__(self, load: Load, path: Path, gauge_mm: float) -> None:
        self.girth_mm = BODY * gauge_mm
        self.room: Room = (ROOM_PX, BODY * gauge_mm)
        self._load = load
        self._gauge_mm = gauge_mm
        self._pose: Pose = path.at(load.on.position_m)
        self._at = QPointF(self._pose.x_mm, self._pose.y_mm)
        half = 0.5 * max(load.length_m, LEAST_GAUGES * gauge_mm / 1000.0)
        here = load.on.position_m
        points = path.line(max(here - half, 0.0), here + half)
        self._line: Floats = points
        self._body = polyline([(x, y) for x, y in points.tolist()])
        self._is_train = load.use == "train"

    def bounds(self) -> QRectF:
        """Return the box around the train. [mm]"""
        return self._body.boundingRect()

    def outline(self) -> QPainterPath:
        """Return the middle line of the train."""
        return self._body

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return the train, or the lamp."""
        width = max(BODY * self._gauge_mm, 2.0 * HIT_PX * mm_per_px)
        if self._is_train:
            return widen(self._body, width)
        path = QPainterPath()
        path.addEllipse(self._at, width, width)
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it; one that is switched off is faint."""
        if self._is_train:
            self._paint_train(painter, look, self._colour(look))
        else:
            self._paint_lamp(painter, look)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its name, and what it draws."""
        if look.px_per_mm < WORDS_FROM_PX_PER_MM:
            return ()
        load = self._load
        draw = f"{load.watts_w:g} W" if load.watts_w else f"{load.amps_a:g} A"
        text = f"{cut_short(load.name or load.id)}, {draw}"
        style = Style(self._colour(look), look.theme.paper, SMALL_PX)
        gap_px = 3.0 + max(0.5 * BODY * look.gauge_px, 5.0)
        left = self._pose.left(1.0)
        way = (left[0] - self._at.x(), left[1] - self._at.y())
        way = way if way[1] > -1e-9 else (-way[0], -way[1])
        spots = spots_around(look, text, style, way=way, gap_px=gap_px)
        return (Label(text, style, self._at, spots, rank=1),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return its middle, or the lamp: the track below covers the rest."""
        reach = 0.0
        if not self._is_train:
            reach = max(LAMP * self._gauge_mm, LAMP_PX * look.mm_per_px)
        x, y = self._at.x(), self._at.y()
        rows = np.arange(-reach, reach + step_mm, step_mm).tolist()
        legs = [
            points_between((x - reach, y + r), (x + reach, y + r), step_mm)
            for r in rows
        ]
        return Footprint(np.concatenate(legs))

    def from_afar(self) -> Afar:
        """Return a train's body with its edges, or the sign of a lamp."""
        at = (self._at.x(), self._at.y())
        is_on = self._load.active
        if not self._is_train:
            return Afar(stamp=(Lamp(is_on, LAMP * self._gauge_mm), at))
        line = without_straights(self._line)
        legs = np.column_stack((line[:-1], line[1:]))
        paper = 0.0 if is_on else OFF_SHARE
        width_mm = BODY * self._gauge_mm
        edge = Strand("ink", TRAIN_PX, paper, width_mm)
        fill = Strand(
            "ink",
            TRAIN_PX,
            paper + (1.0 - paper) * FILL_SHARE,
            width_mm,
            less_px=2.0 * EDGE_PX,
            over=1,
        )
        middle = Strand("ink", 3.2, paper, 0.44 * self._gauge_mm, over=2, runs_on=True)
        return Afar(((edge, legs), (fill, legs), (middle, dot(at))))

    def _colour(self, look: Look) -> str:
        return _shade(look, is_on=self._load.active)

    def _paint_train(self, painter: QPainter, look: Look, colour: str) -> None:
        width = max(BODY * self._gauge_mm, TRAIN_PX * look.mm_per_px)
        edge = EDGE_PX * look.mm_per_px
        for shade, thick in (
            (colour, width),
            (mix(colour, look.theme.paper, FILL_SHARE), width - 2.0 * edge),
        ):
            painter.strokePath(self._body, look.plan_pen(shade, thick))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(QColor(colour)))
        dot = max(0.22 * self._gauge_mm, 1.6 * look.mm_per_px)
        painter.drawEllipse(self._at, dot, dot)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_lamp(self, painter: QPainter, look: Look) -> None:
        lamp = Lamp(self._load.active, LAMP * self._gauge_mm)
        if lamp.half_px(look) <= STAMP_PX:
            put_stamp(painter, look, lamp, self._at)
            return
        world = painter.worldTransform()
        at = world.map(self._at)
        painter.setWorldTransform(QTransform.fromTranslate(at.x(), at.y()))
        lamp.paint(painter, look)
        painter.setWorldTransform(world)


def _shade(look: Look, *, is_on: bool) -> str:
    ink, paper = look.theme.ink, look.theme.paper
    return ink if is_on else mix(ink, paper, OFF_SHARE)
