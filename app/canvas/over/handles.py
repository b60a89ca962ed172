"""Small squares where the selected part can be pulled."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.canvas.look import Look
from app.canvas.over.overlay import Overlay
from app.tools.selecting.handles import Handle

HANDLE_PX = 4.5


class Handles(Overlay):
    """Small squares where the selected part can be pulled."""

    def __init__(self, look: Look) -> None:
        super().__init__(look, 92.0)
        self._handles: tuple[Handle, ...] = ()

    @property
    def shown(self) -> tuple[Handle, ...]:
        """What is shown."""
        return self._handles

    def show_handles(self, handles: tuple[Handle, ...]) -> None:
        """Show these and no others."""
        self._handles = handles
        places = [QPointF(handle.x_mm, handle.y_mm) for handle in handles]
        area = QPolygonF(places).boundingRect() if places else QRectF()
        self.cover(area.adjusted(-1.0, -1.0, 1.0, 1.0) if places else area)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint them."""
        theme = self.look.theme
        half = HANDLE_PX * self.look.mm_per_px
        painter.setPen(self.look.pen(theme.selected, 1.6))
        painter.setBrush(QBrush(QColor(theme.paper)))
        for handle in self._handles:
            x, y = handle.x_mm, handle.y_mm
            painter.drawRect(QRectF(x - half, y - half, 2 * half, 2 * half))
        painter.setBrush(Qt.BrushStyle.NoBrush)
