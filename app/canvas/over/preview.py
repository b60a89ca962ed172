"""The marks of a tool, and the ghosts of parts that are not there yet."""

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.drawing import MARGIN_MM, Drawing
from app.canvas.look import Look
from app.canvas.over.overlay import BOLD, Overlay
from app.canvas.words.label import paint_labels
from app.canvas.words.lettering import TEXT_PX, Style
from app.tools.marks import Frame, Mark, Spot, Stroke

SPOT_PX, PLAIN_PX = 6.0, 3.0


class Preview(Overlay):
    """The marks of a tool, and the ghosts of parts that are not there yet."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 95.0)
        self._marks: tuple[Mark, ...] = ()
        self._ghosts: tuple[Drawing, ...] = ()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """What is shown."""
        return self._marks

    @property
    def ghosts(self) -> tuple[Drawing, ...]:
        """The parts that are shown though they are not there yet."""
        return self._ghosts

    def show_marks(self, marks: tuple[Mark, ...], ghosts: tuple[Drawing, ...]) -> None:
        """Show these and nothing else."""
        self._marks, self._ghosts = marks, ghosts
        area = QRectF()
        for ghost in ghosts:
            area = _join(area, ghost.bounds(), MARGIN_MM)
        words = 120.0 if ghosts else 0.0
        for mark in marks:
            for x, y in _points(mark):
                area = _join(area, QRectF(x, y, 0.0, 0.0), 1.0)
            if isinstance(mark, Spot) and mark.word:
                words = max(words, self.look.words.size(mark.word, BOLD)[0])
        self.cover(area, words)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint ghosts, then marks."""
        look = self.look.ghost()
        for ghost in self._ghosts:
            ghost.paint(painter, look, self._bounds)
            paint_labels(painter, look, ghost.labels(look), ())
        for mark in self._marks:
            match mark:
                case Stroke():
                    _paint_stroke(painter, self.look, mark)
                case Frame():
                    _paint_frame(painter, self.look, mark)
                case Spot():
                    _paint_spot(painter, self.look, mark)
                case _:
                    pass


def _points(mark: Mark) -> tuple[tuple[float, float], ...]:
    match mark:
        case Stroke():
            return mark.points
        case Frame():
            return (mark.x0_mm, mark.y0_mm), (mark.x1_mm, mark.y1_mm)
        case Spot():
            return ((mark.x_mm, mark.y_mm),)
        case _:
            return ()


def _join(area: QRectF, other: QRectF, margin: float) -> QRectF:
    other = other.adjusted(-margin, -margin, margin, margin)
    return other if area.isNull() else area.united(other)


def _paint_stroke(painter: QPainter, look: Look, mark: Stroke) -> None:
    colour = look.theme.accent if mark.style == "measure" else look.theme.preview
    width = 1.6 if mark.style == "measure" else 1.3
    stroke = "dash" if mark.style == "guide" else "solid"
    painter.setPen(look.pen(colour, width, "dash" if stroke == "dash" else "solid"))
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in mark.points]))


def _paint_frame(painter: QPainter, look: Look, mark: Frame) -> None:
    colour = QColor(look.theme.selected)
    solid = mark.style == "box"
    painter.setPen(look.pen(look.theme.selected, 1.2, "solid" if solid else "dash"))
    colour.setAlpha(26)
    painter.setBrush(QBrush(colour))
    corner, other = QPointF(mark.x0_mm, mark.y0_mm), QPointF(mark.x1_mm, mark.y1_mm)
    painter.drawRect(QRectF(corner, other).normalized())
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_spot(painter: QPainter, look: Look, mark: Spot) -> None:
    theme, at = look.theme, QPointF(mark.x_mm, mark.y_mm)
    colour = theme.hazard if mark.style == "refused" else theme.preview
    radius = (PLAIN_PX if mark.style == "plain" else SPOT_PX) * look.mm_per_px
    painter.setPen(QPen(look.pen(colour, 1.8)))
    if mark.style == "plain":
        painter.setBrush(QBrush(QColor(colour)))
    painter.drawEllipse(at, radius, radius)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if mark.style == "refused":
        reach = 0.7 * radius
        x, y = at.x(), at.y()
        painter.drawLine(QLineF(x - reach, y - reach, x + reach, y + reach))
    if mark.word:
        style = Style(colour, theme.paper, TEXT_PX, bold=True)
        look.words.put(
            painter, at, mark.word, style, shift_px=(12.0, -14.0), align="left"
        )
