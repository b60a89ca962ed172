"""A terminal strip: one field a way, a screw in each from near."""

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter

from app.canvas.drawings.symbol import Symbol
from app.canvas.look import Look
from app.canvas.words.label import Label
from app.tools.symbols import symbol_size_mm
from core.layout.parts import Strip
from core.layout.queries import STRIP_WAY_MM

FIELDS_FROM_PX = 4.0
SCREWS_FROM_PX = 9.0


class StripDrawing(Symbol):
    """The drawing of one strip."""

    def __init__(self, strip: Strip) -> None:
        super().__init__(strip.x_mm, strip.y_mm, symbol_size_mm(strip))
        self._strip = strip

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        frame = self.paint_box(painter, look)
        way_px = STRIP_WAY_MM * look.px_per_mm
        if way_px >= FIELDS_FROM_PX:
            self._paint_fields(
                painter, look, frame, with_screws=way_px >= SCREWS_FROM_PX
            )
        elif self.has_detail(look):
            painter.setPen(look.pen(look.theme.device, 1.0))
            y = frame.center().y()
            painter.drawLine(QLineF(frame.left(), y, frame.right(), y))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, and how many ways it has."""
        strip = self._strip
        figures = "bars swapped" if strip.flipped else f"{strip.ways} ways"
        return self.words(look, f"{strip.id} {strip.name}".strip(), figures)

    def _paint_fields(
        self, painter: QPainter, look: Look, frame: QRectF, *, with_screws: bool
    ) -> None:
        theme = look.theme
        ways = self._strip.ways
        first = frame.center().x() - 0.5 * ways * STRIP_WAY_MM
        painter.setPen(look.pen(theme.device, 0.8))
        edges = [first + i * STRIP_WAY_MM for i in range(ways + 1)]
        painter.drawLines([QLineF(x, frame.top(), x, frame.bottom()) for x in edges])
        y = frame.center().y()
        painter.drawLine(QLineF(edges[0], y, edges[-1], y))
        if with_screws:
            upper = theme.conductor_b if self._strip.flipped else theme.conductor_a
            lower = theme.conductor_a if self._strip.flipped else theme.conductor_b
            lift = 0.25 * frame.height()
            for colour, at in ((upper, y + lift), (lower, y - lift)):
                painter.setPen(look.pen(colour, 1.2))
                for x in edges[:-1]:
                    middle = QPointF(x + 0.5 * STRIP_WAY_MM, at)
                    painter.drawEllipse(middle, 3.2, 3.2)
