"""Signs where pole A goes over into pole B in whole metal: a short's two sides meet."""

import numpy as np
from PySide6.QtCore import QPointF
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.over.overlay import BOLD, Overlay
from app.canvas.words.lettering import TEXT_PX, Style
from app.canvas.words.placer import NO_FOOTPRINT, Footprint, points_between

WORD = "A meets B"
MOST_WORDS = 4
"""More meetings than this have the sign alone."""

BOLT_PX = 15.0
BOLT = (
    (0.1, 1.0),
    (-0.55, -0.1),
    (-0.05, -0.1),
    (-0.1, -1.0),
    (0.55, 0.15),
    (0.05, 0.15),
)
"""A bolt, from its top round to it again; 1 is half its height."""


class Meets(Overlay):
    """Shows where the poles meet, while rails are shown by their poles."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 89.0)
        self._places: tuple[QPointF, ...] = ()

    @property
    def places(self) -> tuple[QPointF, ...]:
        """Where the signs stand. [mm]"""
        return self._places

    def stand(self, places: tuple[tuple[float, float], ...]) -> None:
        """Stand on these plan points and no others. [mm]"""
        self._places = tuple(QPointF(*place) for place in places)
        area = QPolygonF(list(self._places)).boundingRect()
        if self._places:
            area = area.adjusted(-1.0, -1.0, 1.0, 1.0)
        self.cover(area, self.look.words.size(WORD, BOLD)[0])

    def footprint(self, step_mm: float) -> Footprint:
        """Return what the signs and their words cover."""
        if not self._places or self.look.view != "poles":
            return NO_FOOTPRINT
        unit = self.look.mm_per_px * (-1.0 if self.look.underside else 1.0)
        width = self.look.words.size(WORD, BOLD)[0] + 14.0
        return Footprint(
            np.concatenate(
                [
                    points_between(
                        (p.x() - 8.0 * unit, p.y()),
                        (p.x() + width * unit, p.y()),
                        step_mm,
                    )
                    for p in self._places[:MOST_WORDS]
                ]
            )
        )

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint them."""
        if self.look.view != "poles":
            return
        theme, words = self.look.theme, len(self._places) <= MOST_WORDS
        for place in self._places:
            paint_bolt(painter, self.look, place)
            if words:
                style = Style(theme.hazard, theme.paper, TEXT_PX, bold=True)
                self.look.words.put(
                    painter, place, WORD, style, shift_px=(12.0, 0.0), align="left"
                )


def paint_bolt(painter: QPainter, look: Look, at: QPointF) -> None:
    """Paint the sign of a short: a bolt on a disc of paper."""
    unit = look.mm_per_px
    side = -1.0 if look.underside else 1.0
    painter.setPen(look.pen(look.theme.hazard, 1.4))
    painter.setBrush(QBrush(QColor(look.theme.paper)))
    painter.drawEllipse(at, 10.0 * unit, 10.0 * unit)
    painter.setBrush(QBrush(QColor(look.theme.hazard)))
    size = 0.5 * BOLT_PX * unit
    corners = [QPointF(at.x() + side * x * size, at.y() + y * size) for x, y in BOLT]
    painter.drawPolygon(QPolygonF(corners))
    painter.setBrush(QBrush())
