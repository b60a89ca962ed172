"""Lift-outs and gates: where the bench is parted, and what goes with the section."""

from collections.abc import Iterable
from math import hypot

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.canvas.drawings.drawing import HIT_PX, WIDE, widen
from app.canvas.look import Look
from app.canvas.words.label import Label, spot_beside
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint
from core.layout.layout import Layout
from core.layout.openings import edge_lines
from core.layout.parts import Edge, Opening
from core.layout.passing import plug_places

BEYOND_MM = 90.0
"""The bench is parted so far beyond the outermost rails, as drawn. [mm]"""

HATCH_PX = 14.0
"""Spacing of the strokes over the section. [px]"""

HINGE_PX = 5.0
"""Radius of the two pins of a hinge. [px]"""

_Line = tuple[Edge, QPointF, QPointF]


class OpeningDrawing:
    """The drawing of one opening: two dashed lines, hatched between them."""

    girth_mm = 0.0
    room = WIDE

    def __init__(self, layout: Layout, opening: Opening, *, is_open: bool) -> None:
        self._opening = opening
        self._is_open = is_open
        self._lines: list[_Line] = [
            (side, QPointF(*start), QPointF(*end))
            for side, start, end in edge_lines(layout, opening, BEYOND_MM)
        ]
        self._plugs = [QPointF(*at) for at in plug_places(layout, opening)]
        self._section = _hull([p for _, a, b in self._lines for p in (a, b)])

    def bounds(self) -> QRectF:
        """Return the box around it. [mm]"""
        box = self._section.boundingRect()
        for _, start, end in self._lines:
            box = box.united(QRectF(start, end).normalized())
        for at in self._plugs:
            box = box.united(QRectF(at.x() - 1.0, at.y() - 1.0, 2.0, 2.0))
        return box

    def outline(self) -> QPainterPath:
        """Return its edges."""
        path = QPainterPath()
        for _, start, end in self._lines:
            path.moveTo(start)
            path.lineTo(end)
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return its edges only, so that what lies between them can be reached."""
        return widen(self.outline(), 1.6 * HIT_PX * mm_per_px)

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint the strokes, the edges and the hinge."""
        theme = look.theme
        colour = theme.accent if self._is_open else theme.ink
        if not look.is_rough and self._opening.use != "board joint":
            self._paint_section(painter, look)
        pen = look.pen(colour, 2.0)
        pen.setStyle(Qt.PenStyle.DashLine)
        for side, start, end in self._lines:
            painter.setPen(pen)
            painter.drawLine(QLineF(start, end))
            if side == self._opening.hinge and self._opening.use != "board joint":
                self._paint_hinge(painter, look, (start, end), pen)

        self._paint_plugs(painter, look, self._plugs, pen)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return what it is, and whether it is open."""
        opening = self._opening
        words = f"{opening.name or opening.id}, {opening.use}"
        if self._is_open:
            words += ": OPEN"
        style = Style(look.theme.ink, look.theme.paper, SMALL_PX, bold=self._is_open)
        if not self._lines:
            return ()
        _, start, end = self._lines[0]
        out = _unit(end - start)
        spots = (
            spot_beside(look, words, style, out, 4.0 + HINGE_PX),
            spot_beside(look, words, style, (-out[0], -out[1]), 4.0 + HINGE_PX),
        )
        outer = end if out[0] >= 0.0 else start
        spots = spots if outer is end else spots[::-1]
        x, y = spots[0]
        aside = 0.5 * look.words.size(words, style)[0] + HINGE_PX
        around = ((x, y), (x + aside, y), (x - aside, y))
        return (Label(words, style, outer, around, rank=1, must=True),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return nothing: words may stand on it."""
        return NO_FOOTPRINT

    def _paint_section(self, painter: QPainter, look: Look) -> None:
        brush = QBrush(QColor(look.theme.faint), Qt.BrushStyle.BDiagPattern)
        # A pattern is measured in pixels of the screen, whatever the zoom.
        brush.setTransform(painter.worldTransform().inverted()[0])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(brush)
        painter.setOpacity(0.75 if self._is_open else 0.4)
        painter.drawPolygon(self._section)
        painter.setOpacity(1.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_hinge(
        self, painter: QPainter, look: Look, line: tuple[QPointF, QPointF], pen: QPen
    ) -> None:
        """Paint two pins on a gate's hinge, or a plug on a lift-out's jumper side."""
        if self._opening.use != "gate":
            self._paint_plugs(painter, look, line, pen)
            return
        radius = HINGE_PX * look.mm_per_px
        painter.setPen(_solid(pen))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        for end in line:
            painter.drawEllipse(end, radius, radius)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_plugs(
        self, painter: QPainter, look: Look, places: Iterable[QPointF], pen: QPen
    ) -> None:
        radius = HINGE_PX * look.mm_per_px
        painter.setPen(_solid(pen))
        painter.setBrush(QBrush(QColor(look.theme.paper)))
        for at in places:
            corner = QPointF(at.x() - radius, at.y() - radius)
            painter.drawRect(QRectF(corner, QSizeF(2.0 * radius, 2.0 * radius)))
        painter.setBrush(Qt.BrushStyle.NoBrush)


def _solid(pen: QPen) -> QPen:
    solid = QPen(pen)
    solid.setStyle(Qt.PenStyle.SolidLine)
    return solid


def _unit(way: QPointF) -> tuple[float, float]:
    length = hypot(way.x(), way.y()) or 1.0
    return way.x() / length, way.y() / length


def _hull(points: list[QPointF]) -> QPolygonF:
    """Return the convex hull of a few points, by their turn about the middle."""
    if not points:
        return QPolygonF()
    xy = np.array([(p.x(), p.y()) for p in points])
    middle = xy.mean(axis=0)
    turn = np.arctan2(xy[:, 1] - middle[1], xy[:, 0] - middle[0])
    return QPolygonF([points[i] for i in np.argsort(turn)])
