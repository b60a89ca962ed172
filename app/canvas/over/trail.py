"""A finding's way on the plan: a bold line with arrowheads, and where poles meet."""

from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.drawing import MARGIN_MM, Drawing, octave_mm
from app.canvas.look import Look
from app.canvas.over.meets import paint_bolt
from app.canvas.over.overlay import BOLD, Overlay
from app.canvas.words.label import XY, paint_labels, spot_beside
from app.canvas.words.lettering import TEXT_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint, points_between
from core.layout.geometry import Pose

LINE_PX, EDGE_PX, LINE_ALPHA = 6.0, 10.0, 205
ARROW_PX, ARROW_EACH_PX = 8.0, 36.0
END_PX, ASIDE_PX = 8.5, 5.0

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Shown:
    """A trail as it is drawn.

    Attributes
    ----------
    points : tuple of (float, float, float, float)
        Its line, and at each point a vector across it, up to 1 long: that way it is
        drawn aside. [mm, 1]
    meets : (float, float) or None
        Where the sign of the short stands. [mm]
    word : str
        What the sign says.
    ends : (str, str)
        Letters at its two ends; empty for none.
    cuts : tuple of (Pose, str)
        Where both rails would be cut, and a word.
    ghosts : tuple of Drawing
        Turnouts as they must lie.
    """

    points: tuple[tuple[float, float, float, float], ...]
    meets: XY | None
    word: str
    ends: tuple[str, str]
    cuts: tuple[tuple[Pose, str], ...]
    ghosts: tuple[Drawing, ...]


class TrailMark(Overlay):
    """Shows one trail, or none."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 88.0)
        self.shown: Shown | None = None
        self._points: Floats = np.zeros((0, 4))
        self._drawn: tuple[float, QPolygonF, list[_Arrow]] | None = None

    def show_trail(self, shown: Shown | None) -> None:
        """Show a trail and no other; None: none."""
        self.shown, self._drawn = shown, None
        points = shown.points if shown is not None else ()
        self._points = np.array(points).reshape(-1, 4)
        self.cover(self.area(), self.words_px)

    @property
    def words_px(self) -> float:
        """How wide its words are. [px]"""
        return self.look.words.size(self.shown.word, BOLD)[0] if self.shown else 0.0

    def area(self) -> QRectF:
        """Return the box around all that is shown. [mm]"""
        if self.shown is None:
            return QRectF()
        line = _polygon(self._points[:, :2])
        area = line.boundingRect().adjusted(-1.0, -1.0, 1.0, 1.0)
        for ghost in self.shown.ghosts:
            box = ghost.bounds()
            area = area.united(
                box.adjusted(-MARGIN_MM, -MARGIN_MM, MARGIN_MM, MARGIN_MM)
            )
        return area

    def footprint(self, step_mm: float) -> Footprint:
        """Return what its sign covers, so that no word is put there."""
        if self.shown is None or self.shown.meets is None:
            return NO_FOOTPRINT
        x, y = self.shown.meets
        unit = self.look.mm_per_px
        width = (self.look.words.size(self.shown.word, BOLD)[0] + 16.0) * unit
        if self.look.underside:
            width = -width
        rows = [
            points_between((x, y + up * unit), (x + width, y + up * unit), step_mm)
            for up in (-7.0, 0.0, 7.0)
        ]
        return Footprint(np.concatenate(rows))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint line, arrowheads, ghosts and sign."""
        if self.shown is None:
            return
        look, theme = self.look, self.look.theme
        line = self._paint_line(painter, look)
        for pose, word in self.shown.cuts:
            _paint_cut(painter, look, pose, word)
        ghostly = look.ghost()
        for ghost in self.shown.ghosts:
            ghost.paint(painter, ghostly, self.boundingRect())
            paint_labels(painter, ghostly, ghost.labels(ghostly), ())
        for letter, at in zip(self.shown.ends, _ends(line, look), strict=True):
            if letter:
                _paint_end(painter, look, letter, at)
        if self.shown.meets is not None:
            at = QPointF(*self.shown.meets)
            paint_bolt(painter, look, at)
            style = Style(theme.hazard, theme.paper, TEXT_PX, bold=True)
            look.words.put(
                painter, at, self.shown.word, style, shift_px=(13.0, 0.0), align="left"
            )

    def _paint_line(self, painter: QPainter, look: Look) -> QPolygonF:
        theme, unit = look.theme, look.mm_per_px
        if self._drawn is None or self._drawn[0] != unit:
            points = self._points[:, :2] + ASIDE_PX * unit * self._points[:, 2:]
            step = octave_mm(ARROW_EACH_PX, look.px_per_mm)
            self._drawn = (unit, _polygon(points), _arrowheads(points, step))
        _, line, arrows = self._drawn
        for colour, width, alpha in (
            (theme.paper, EDGE_PX, LINE_ALPHA),
            (theme.preview, LINE_PX, 255),
        ):
            tint = QColor(colour)
            tint.setAlpha(alpha)
            painter.setPen(look.pen(tint.name(QColor.NameFormat.HexArgb), width))
            painter.drawPolyline(line)
        painter.setPen(look.pen(theme.paper, 1.0))
        painter.setBrush(QBrush(QColor(theme.ink)))
        size = ARROW_PX * unit
        for x, y, dx, dy in arrows:
            head = [
                QPointF(x + size * (a * dx - b * dy), y + size * (a * dy + b * dx))
                for a, b in _HEAD
            ]
            painter.drawPolygon(QPolygonF(head))
        painter.setBrush(QBrush())
        return line


def _polygon(points: Floats) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points.tolist()])


def _ends(line: QPolygonF, look: Look) -> tuple[QPointF, QPointF]:
    """Return the two ends of a line, beside each other where they are one place."""
    if line.isEmpty():
        return QPointF(), QPointF()
    first, last = line.first(), line.last()
    radius = END_PX * look.mm_per_px
    if (first - last).manhattanLength() >= 2.0 * radius:
        return first, last
    beside = QPointF(-radius if look.underside else radius, 0.0)
    return first - beside, last + beside


def _paint_cut(painter: QPainter, look: Look, pose: Pose, word: str) -> None:
    """Paint two bars with paper between, as a gap that is not there yet."""
    theme, unit = look.theme, look.mm_per_px
    reach, apart = max(1.2 * look.gauge_mm, 15.0 * unit), 3.5 * unit
    x, y, heading = pose.x_mm, pose.y_mm, pose.heading
    along = QPointF(cos(heading), sin(heading)) * apart
    aside = QPointF(-sin(heading), cos(heading)) * reach
    middle = QPointF(x, y)
    painter.setPen(look.pen(theme.paper, 10.0))
    painter.drawLine(QLineF(middle - aside, middle + aside))
    painter.setPen(look.pen(theme.preview, 2.4, "dash"))
    for side in (along, -along):
        painter.drawLine(QLineF(middle + side - aside, middle + side + aside))
    style = Style(theme.preview, theme.paper, TEXT_PX, bold=True)
    gap_px = reach / unit + 3.0
    spot = spot_beside(look, word, style, (aside.x(), aside.y()), gap_px)
    look.words.put(painter, middle, word, style, shift_px=spot)


_Arrow = tuple[float, float, float, float]
"""Where an arrowhead stands, and its direction. [mm, 1]"""

_HEAD = ((1.0, 0.0), (-0.7, 0.85), (-0.25, 0.0), (-0.7, -0.85))
"""An arrowhead that points along x; 1 is its length."""


def _arrowheads(points: Floats, step_mm: float) -> list[_Arrow]:
    """Return place and direction of an arrowhead each step along a line."""
    if len(points) < 2:
        return []
    ways = np.diff(points, axis=0)
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    gone = np.concatenate(([0.0], np.cumsum(lengths)))
    count = max(int(gone[-1] / step_mm), 1)
    found: list[_Arrow] = []
    for s in ((np.arange(count) + 0.5) * gone[-1] / count).tolist():
        i = int(np.clip(np.searchsorted(gone, s, side="right") - 1, 0, len(ways) - 1))
        ahead = ways[i] / max(float(lengths[i]), 1e-9)
        place = points[i] + (s - float(gone[i])) * ahead
        x, y = place.tolist()
        dx, dy = ahead.tolist()
        found.append((x, y, dx, dy))
    return found


def _paint_end(painter: QPainter, look: Look, letter: str, at: QPointF) -> None:
    """Paint a pole of the booster: A on a filled disc, B on an empty one."""
    theme, radius = look.theme, END_PX * look.mm_per_px
    colour = theme.conductor_a if letter == "A" else theme.conductor_b
    painter.setPen(look.pen(colour, 2.0))
    painter.setBrush(QBrush(QColor(colour if letter == "A" else theme.paper)))
    painter.drawEllipse(at, radius, radius)
    painter.setBrush(QBrush())
    ink = theme.paper if letter == "A" else colour
    look.words.put(painter, at, letter, Style(ink, None, TEXT_PX, bold=True))
