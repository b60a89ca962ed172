"""Benchwork: boards with their aisle edge, and joists."""

from math import hypot

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.drawing import HIT_PX, Room, widen
from app.canvas.lines.chunks import Chunks
from app.canvas.lines.hatch import HATCH_PX, hatch_mm, strokes_along
from app.canvas.look import Look, mix
from app.canvas.words.label import Label, cut_short, spot_beside
from app.canvas.words.lettering import SMALL_PX, TEXT_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint
from core.layout.parts import Board, Joist

NAME_FROM_PX = 150.0
BEAM_SHARE, EDGE_SHARE = 0.78, 0.35
"""How much paper is mixed into a joist, and into its edges. [1]"""


_BOARD = Strand("tie", 1.4, below=("faint", 1.4))
_AISLE = Strand("faint", 1.6, over=1, below=("accent", 2.2))
_STROKES = Strand("faint", 1.0, below=("accent", 1.0))
_BEAM_EDGE = Strand("tie", 1.0)


class BoardDrawing:
    """The drawing of one board; its ground is painted by the scene, below the grid."""

    girth_mm = 0.0
    room: Room = (16.0, 0.0)

    def __init__(self, board: Board) -> None:
        self._board = board
        self._rect = QRectF(board.x_mm, board.y_mm, board.width_mm, board.depth_mm)
        self._hatch: tuple[float, Chunks] | None = None

    def bounds(self) -> QRectF:
        """Return its rectangle. [mm]"""
        return self._rect

    def outline(self) -> QPainterPath:
        """Return its edge."""
        path = QPainterPath()
        path.addRect(self._rect)
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return its edge only, so that what lies on it can be reached."""
        return widen(self.outline(), 1.6 * HIT_PX * mm_per_px)

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        """Paint the edge, and strokes where the builder stands."""
        theme = look.theme
        painter.setPen(look.pen(theme.tie if not look.underside else theme.faint, 1.4))
        painter.drawRect(self._rect)
        self._paint_aisle(painter, look, exposed)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its name, in the upper left corner, and where the aisle is."""
        if self._rect.width() * look.px_per_mm < NAME_FROM_PX:
            return ()
        name = cut_short(self._board.name or self._board.id)
        small = Style(look.theme.faint, None, SMALL_PX)
        width, _ = look.words.size(name, small)
        # The corner that is at the left on the screen, also from below.
        x = self._rect.right() if look.underside else self._rect.left()
        corner = QPointF(x, self._rect.bottom())
        spot = (7.0 + 0.5 * width, 11.0)
        words = [Label(name, small, corner, (spot,), rank=0, must=True)]
        start, end, out = self._edge()
        bold = Style(self._aisle_colour(look), None, TEXT_PX, bold=look.underside)
        spot = spot_beside(look, "aisle", bold, out, HATCH_PX + 5.0)
        words.append(
            Label("aisle", bold, (start + end) / 2.0, (spot,), rank=0, must=True)
        )
        return tuple(words)

    def from_afar(self) -> Afar:
        """Return its edge, the side of the aisle, and the strokes along that."""
        rect = self._rect
        corners = rect.topLeft(), rect.topRight(), rect.bottomRight(), rect.bottomLeft()
        edge = [
            [here.x(), here.y(), there.x(), there.y()]
            for here, there in zip(corners, (*corners[1:], corners[0]), strict=True)
        ]
        start, end, out = self._edge()
        aisle = [start.x(), start.y(), end.x(), end.y()]
        return Afar(
            ((_BOARD, np.array(edge)), (_AISLE, np.array([aisle]))),
            edge=(_STROKES, np.array([*aisle, *out])),
        )

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return nothing: words may stand on a board."""
        return NO_FOOTPRINT

    def _aisle_colour(self, look: Look) -> str:
        return look.theme.accent if look.underside else look.theme.faint

    def _paint_aisle(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        start, end, out = self._edge()
        colour = self._aisle_colour(look)
        painter.setPen(look.pen(colour, 2.2 if look.underside else 1.6))
        painter.drawLine(QLineF(start, end))
        if look.is_rough:
            return
        size = hatch_mm(look)
        if self._hatch is None or self._hatch[0] != size:
            edge = np.array([[start.x(), start.y(), end.x(), end.y(), *out]])
            self._hatch = (size, Chunks(strokes_along(edge, size)))
        painter.setPen(look.pen(colour, 1.0))
        self._hatch[1].draw(painter, exposed, size)

    def _edge(self) -> tuple[QPointF, QPointF, tuple[float, float]]:
        """Return both ends of the aisle edge, and the way out to the aisle."""
        rect = self._rect
        low_left, low_right = rect.topLeft(), rect.topRight()
        high_left, high_right = rect.bottomLeft(), rect.bottomRight()
        match self._board.aisle:
            case "front":
                return low_left, low_right, (0.0, -1.0)
            case "back":
                return high_left, high_right, (0.0, 1.0)
            case "left":
                return low_left, high_left, (-1.0, 0.0)
            case "right":
                return low_right, high_right, (1.0, 0.0)


class JoistDrawing:
    """The drawing of one joist."""

    girth_mm = 0.0
    room: Room = (8.0, 0.0)

    def __init__(self, joist: Joist) -> None:
        self._joist = joist
        dx, dy = joist.x2_mm - joist.x1_mm, joist.y2_mm - joist.y1_mm
        length = hypot(dx, dy) or 1.0
        nx, ny = -dy / length * joist.width_mm / 2.0, dx / length * joist.width_mm / 2.0
        self._corners = [
            QPointF(joist.x1_mm + nx, joist.y1_mm + ny),
            QPointF(joist.x2_mm + nx, joist.y2_mm + ny),
            QPointF(joist.x2_mm - nx, joist.y2_mm - ny),
            QPointF(joist.x1_mm - nx, joist.y1_mm - ny),
        ]

    def bounds(self) -> QRectF:
        """Return the box around it. [mm]"""
        return QPolygonF(self._corners).boundingRect()

    def outline(self) -> QPainterPath:
        """Return its edge."""
        path = QPainterPath()
        path.addPolygon(QPolygonF([*self._corners, self._corners[0]]))
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return all of it."""
        path = widen(self.outline(), HIT_PX * mm_per_px)
        path.addPath(self.outline())
        path.setFillRule(Qt.FillRule.WindingFill)
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it: a pale beam with two edges."""
        theme = look.theme
        edge = theme.faint if look.underside else theme.tie
        painter.setPen(look.pen(mix(edge, theme.paper, EDGE_SHARE), 1.0))
        painter.setBrush(QBrush(QColor(mix(theme.tie, theme.paper, BEAM_SHARE))))
        painter.drawPolygon(QPolygonF(self._corners))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def from_afar(self) -> Afar:
        """Return its two long edges, and the beam between them."""
        a, b, c, d = self._corners
        edges = [[a.x(), a.y(), b.x(), b.y()], [c.x(), c.y(), d.x(), d.y()]]
        one, other = (a + d) / 2.0, (b + c) / 2.0
        middle = np.array([[one.x(), one.y(), other.x(), other.y()]])
        beam = Strand(
            "tie", 1.0, BEAM_SHARE, width_mm=self._joist.width_mm, is_fine=True
        )
        return Afar(((beam, middle), (_BEAM_EDGE, np.array(edges))))

    def labels(self, look: Look) -> tuple[Label, ...]:  # noqa: ARG002
        """Return no words."""
        return ()

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return nothing: words may stand on a joist."""
        return NO_FOOTPRINT
