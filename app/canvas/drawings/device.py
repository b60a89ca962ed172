"""Boosters and in-line devices: boxes with a sign for what they do."""

from dataclasses import replace
from math import pi, sin, sqrt

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.drawing import polyline
from app.canvas.drawings.symbol import Symbol
from app.canvas.lines.pair import XY, Pair
from app.canvas.look import Look
from app.canvas.words.label import Label
from app.canvas.words.placer import Footprint, points_between
from app.tools.symbols import symbol_size_mm
from core.layout.parts import Booster, Inline

FEED_HALF_PX, FEED_WIDTH_PX = 1.8, 1.3

_FEED = Strand("conductor_a", 2.0 * FEED_WIDTH_PX, runs_on=True)


class BoosterDrawing(Symbol):
    """A booster: a box with a square wave."""

    def __init__(self, booster: Booster) -> None:
        super().__init__(booster.x_mm, booster.y_mm, symbol_size_mm(booster))
        self._booster = booster

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        frame = self.paint_box(painter, look)
        booster = self._booster
        if self.has_detail(look):
            painter.setPen(look.pen(look.theme.device, 1.6))
            painter.drawPolyline(_square_wave(_inner(frame, 0.62, 0.36)))
            if booster.reversed_phase:
                mark = _inner(frame, 0.86, 0.8)
                painter.drawLine(QLineF(mark.bottomLeft(), mark.topRight()))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, its volts and amps."""
        booster = self._booster
        name = f"{booster.id} {booster.name}".strip()
        figures = f"{booster.volts_v:g} V · {booster.rated_a:g} A"
        return self.words(look, name, figures)


class InlineDrawing(Symbol):
    """A breaker or other device in the feed, with the pair that feeds it."""

    def __init__(self, device: Inline, feed: XY | None) -> None:
        super().__init__(device.x_mm, device.y_mm, symbol_size_mm(device))
        self._device = device
        here = (device.x_mm, device.y_mm)
        self._way = (feed, here) if feed is not None and feed != here else None
        self._pair = Pair(self._way or (here, here))

    def bounds(self) -> QRectF:
        """Return the box around symbol and feed. [mm]"""
        bounds = super().bounds()
        if self._way is not None:
            return bounds.united(polyline(list(self._way)).boundingRect())
        return bounds

    def outline(self) -> QPainterPath:
        """Return the edge of the symbol and its feed."""
        path = QPainterPath()
        path.addRect(super().bounds())
        if self._way is not None:
            path.addPath(polyline(list(self._way)))
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        """Paint it."""
        if self._way is not None:
            self._paint_feed(painter, look, exposed)
        frame = self.paint_box(painter, look)
        device = self._device
        if self.has_detail(look):
            painter.setPen(look.pen(look.theme.device, 1.5))
            sign = _inner(frame, 0.7, 0.62)
            painter.drawPath(sign_of(device, sign))

    def _paint_feed(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        if look.is_rough:
            _FEED.take_up(painter, look)
            reach_mm = 2.0 * FEED_WIDTH_PX * look.mm_per_px
            self._pair.paint_middle(painter, exposed, reach_mm)
        else:
            self._pair.paint(
                painter, look, exposed, half_px=FEED_HALF_PX, width_px=FEED_WIDTH_PX
            )

    def from_afar(self) -> Afar:
        """Return its box, and one line for the pair that feeds it."""
        afar = super().from_afar()
        if self._way is None:
            return afar
        return replace(afar, lines=((_FEED, self._pair.legs()),))

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return the box and the pair that feeds it."""
        box = super().footprint(look, step_mm)
        if self._way is None:
            return box
        feed = points_between(*self._way, step_mm)
        return Footprint(np.concatenate((box.points, feed)))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, and what it trips at."""
        device = self._device
        name = f"{device.id} {device.name}".strip()
        figures = f"trips at {device.trip_a:g} A" if device.trip_a else ""
        if device.device == "lamp":
            figures = f"{device.lamp_v:g} V {device.lamp_a:g} A"
        if device.other is not None:
            figures = f"{device.poles} poles, off: from {device.other.part}"
        return self.words(look, name, figures)


def sign_of(device: Inline, area: QRectF) -> QPainterPath:
    """Return what is drawn in the box of a device, in an area."""
    return _SIGNS[device.device](area, device)


def _inner(frame: QRectF, across: float, up: float) -> QRectF:
    width, height = frame.width() * across, frame.height() * up
    centre = frame.center()
    return QRectF(centre.x() - 0.5 * width, centre.y() - 0.5 * height, width, height)


def _square_wave(area: QRectF) -> QPolygonF:
    """Return two periods of the track signal, a long one and a short one."""
    x, low, high = area.left(), area.top(), area.bottom()
    level = low
    points = [QPointF(x, level)]
    for share in (0.26, 0.26, 0.16, 0.16, 0.16):
        other = high if level == low else low
        points.append(QPointF(x, other))
        x += share * area.width()
        points.append(QPointF(x, other))
        level = other
    return QPolygonF(points)


def _contact(area: QRectF, device: Inline) -> QPainterPath:
    """Return a contact in a line; a breaker's has a hook, an open one is lifted."""
    y, third = area.center().y(), area.width() / 3.0
    left, right = area.left() + third, area.right() - third
    path = QPainterPath(QPointF(area.left(), y))
    path.lineTo(left, y)
    path.lineTo(right, y + (0.24 if device.closed else 0.5) * area.height())
    path.moveTo(right, y)
    path.lineTo(area.right(), y)
    if device.device == "breaker":
        radius = 0.12 * area.height()
        path.addEllipse(QPointF(right, y), radius, radius)
        path.addEllipse(QPointF(left, y), radius, radius)
    return path


def _fuse(area: QRectF, device: Inline) -> QPainterPath:  # noqa: ARG001
    path = QPainterPath()
    body = _inner(area, 0.6, 0.5)
    path.addRect(body)
    y = area.center().y()
    path.moveTo(area.left(), y)
    path.lineTo(area.right(), y)
    return path


def _detector(area: QRectF, device: Inline) -> QPainterPath:  # noqa: ARG001
    """Return a ring round the wire: what passes through it is sensed."""
    path = QPainterPath()
    y, radius = area.center().y(), 0.34 * area.height()
    path.moveTo(area.left(), y)
    path.lineTo(area.right(), y)
    path.addEllipse(area.center(), radius, radius)
    return path


def _lamp(area: QRectF, device: Inline) -> QPainterPath:  # noqa: ARG001
    """Return a ring with a cross in it, as a lamp is drawn in circuits."""
    path = QPainterPath()
    centre, radius = area.center(), 0.5 * area.height()
    path.moveTo(area.left(), centre.y())
    path.lineTo(centre.x() - radius, centre.y())
    path.addEllipse(centre, radius, radius)
    slant = radius * sqrt(0.5)
    for up in (-slant, slant):
        path.moveTo(centre.x() - slant, centre.y() - up)
        path.lineTo(centre.x() + slant, centre.y() + up)
    path.moveTo(centre.x() + radius, centre.y())
    path.lineTo(area.right(), centre.y())
    return path


def _reverser(area: QRectF, device: Inline) -> QPainterPath:  # noqa: ARG001
    """Return two wires that change places."""
    path = QPainterPath()
    for sign in (1.0, -1.0):
        for i in range(13):
            t = i / 12.0
            x = area.left() + t * area.width()
            swing = sin(pi * (min(max(t, 0.2), 0.8) - 0.5) / 0.6)
            y = area.center().y() + sign * 0.36 * area.height() * swing
            if i == 0:
                path.moveTo(x, y)
            else:
                path.lineTo(x, y)
    return path


_SIGNS = {
    "breaker": _contact,
    "switch": _contact,
    "fuse": _fuse,
    "detector": _detector,
    "reverser": _reverser,
    "lamp": _lamp,
}
