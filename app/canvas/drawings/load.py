"""A train as a body on the track; a standing load as a lamp."""

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath

from app.canvas.drawings.drawing import HIT_PX, polyline, widen
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


class LoadDrawing:
    """The drawing of one load."""

    def __init__(self, load: Load, path: Path, gauge_mm: float) -> None:
        self.girth_mm = BODY * gauge_mm
        self._load = load
        self._gauge_mm = gauge_mm
        self._pose: Pose = path.at(load.on.position_m)
        self._at = QPointF(self._pose.x_mm, self._pose.y_mm)
        half = 0.5 * max(load.length_m, LEAST_GAUGES * gauge_mm / 1000.0)
        here = load.on.position_m
        points = path.line(max(here - half, 0.0), here + half)
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
        colour = self._colour(look)
        if self._is_train:
            self._paint_train(painter, look, colour)
        else:
            self._paint_lamp(painter, look, colour)

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
            reach = max(LAMP * self._gauge_mm, 5.0 * look.mm_per_px)
        x, y = self._at.x(), self._at.y()
        rows = np.arange(-reach, reach + step_mm, step_mm).tolist()
        legs = [
            points_between((x - reach, y + r), (x + reach, y + r), step_mm)
            for r in rows
        ]
        return Footprint(np.concatenate(legs))

    def _colour(self, look: Look) -> str:
        ink, paper = look.theme.ink, look.theme.paper
        return ink if self._load.active else mix(ink, paper, OFF_SHARE)

    def _paint_train(self, painter: QPainter, look: Look, colour: str) -> None:
        width = max(BODY * self._gauge_mm, 7.0 * look.mm_per_px)
        edge = 1.4 * look.mm_per_px
        for shade, thick in (
            (colour, width),
            (mix(colour, look.theme.paper, 0.72), width - 2.0 * edge),
        ):
            painter.strokePath(self._body, look.plan_pen(shade, thick))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(QColor(colour)))
        dot = max(0.22 * self._gauge_mm, 1.6 * look.mm_per_px)
        painter.drawEllipse(self._at, dot, dot)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_lamp(self, painter: QPainter, look: Look, colour: str) -> None:
        radius = max(LAMP * self._gauge_mm, 5.0 * look.mm_per_px)
        painter.setPen(look.pen(colour, 1.5))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        painter.drawEllipse(self._at, radius, radius)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        reach = radius * 0.7071
        x, y = self._at.x(), self._at.y()
        painter.drawLine(QLineF(x - reach, y - reach, x + reach, y + reach))
        painter.drawLine(QLineF(x - reach, y + reach, x + reach, y - reach))
