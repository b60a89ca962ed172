"""What can be set another way: the area between its ways, and the way that is set."""

from itertools import pairwise

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.drawing import HIT_PX, widen
from app.canvas.drawings.trackside import ID_FROM_PX_PER_MM, OnTrack
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short, spots_around
from app.canvas.words.lettering import SMALL_PX, Style
from core.layout.geometry import Pose
from core.layout.parts import Crossing, Turnout

NEAR_ALPHA, WAY_ALPHA = 46, 90
RAILS_FROM_PX = 5.0
WAY_GAUGES, WAY_PX = 0.42, 3.4
"""Width of the line along a way that is set, from near and from afar. [gauges, px]"""


_EDGE = Strand("rail", 1.0, is_fine=True)
_SET = Strand("accent", WAY_PX, over=-1, is_fine=True)


class Settable(OnTrack):
    """A turnout or crossing: an area on the track, and a line along it when thrown.

    Those that derive from it make `_area` and `_way`. [mm]
    """

    _area: QPolygonF
    _way: QPolygonF

    def __init__(self, pose: Pose, gauge_mm: float, *, thrown: bool) -> None:
        super().__init__(pose, gauge_mm)
        self.is_thrown = thrown

    def bounds(self) -> QRectF:
        """Return the box around it. [mm]"""
        box = super().bounds().united(self._area.boundingRect())
        return box.united(self._way.boundingRect())

    def outline(self) -> QPainterPath:
        """Return the edge of its area."""
        path = QPainterPath()
        path.addPolygon(self._area)
        path.closeSubpath()
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return its area with a small border, and a disc about its place."""
        path = super().shape(mm_per_px)
        path.addPolygon(self._area)
        path.addPath(widen(self.outline(), HIT_PX * mm_per_px))
        path.setFillRule(Qt.FillRule.WindingFill)
        return path

    def from_afar(self) -> Afar:
        """Return the edge of its area, over the way that is set."""
        corners = [(p.x(), p.y()) for p in self._area.toList()]
        edge = list(zip(corners, (*corners[1:], corners[0]), strict=True))
        lines = [(_EDGE, np.array(edge).reshape(-1, 4))]
        if self.is_thrown:
            way = [(p.x(), p.y()) for p in self._way.toList()]
            lines.append((_SET, np.array(list(pairwise(way))).reshape(-1, 4)))
        return Afar(tuple(lines))

    def _paint_area(self, painter: QPainter, look: Look, *, near: bool) -> None:
        """Paint its area, over the line along the way that is set."""
        theme = look.theme
        if self.is_thrown:
            colour = QColor(theme.accent)
            colour.setAlpha(WAY_ALPHA if near else 255)
            width_px = max(WAY_GAUGES * look.gauge_px, WAY_PX)
            painter.setPen(look.pen(colour.name(QColor.NameFormat.HexArgb), width_px))
            painter.drawPolyline(self._way)
        fill = QColor(theme.rail)
        fill.setAlpha(NEAR_ALPHA if near else 255)
        painter.setPen(look.pen(theme.rail, 0.8 if near else 1.0))
        painter.setBrush(QBrush(fill))
        painter.drawPolygon(self._area)

    def _named(
        self,
        look: Look,
        part: Crossing | Turnout,
        set_for: str,
        *,
        way: tuple[float, float],
        gap_px: float,
    ) -> tuple[Label, ...]:
        """Return its id and name, and if thrown what it is set for."""
        near = look.px_per_mm >= ID_FROM_PX_PER_MM
        if not near and not self.is_thrown:
            return ()
        theme = look.theme
        text = cut_short(f"{part.id} {part.name if near else ''}".strip())
        if self.is_thrown:
            text = f"{text} · {set_for}"
        colour = theme.accent if self.is_thrown else theme.ink
        style = Style(colour, theme.paper, SMALL_PX, bold=self.is_thrown)
        room_px = gap_px + max(look.gauge_px, 5.0)
        spots = spots_around(look, text, style, way=way, gap_px=room_px)
        rank = 2 if self.is_thrown else 4
        return (Label(text, style, self.at, spots, rank=rank, must=self.is_thrown),)
