"""What all overlays share: a box about their points, with room for words."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtWidgets import QGraphicsItem

from app.canvas.look import Look
from app.canvas.words.lettering import TEXT_PX, Style

ROOM_PX = 48.0
"""Room about an overlay's points, on top of that for its words. [px]"""

BOLD = Style("", None, TEXT_PX, bold=True)
"""How the words of overlays are measured."""


class Overlay(QGraphicsItem):
    """What all overlays share: a box about their points, with room for words."""

    def __init__(self, look: Look, z: float) -> None:
        super().__init__()
        self.look = look
        self._bounds = QRectF()
        self.setZValue(z)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    def cover(self, area: QRectF, right_px: float = 0.0, left_px: float = 0.0) -> None:
        """Take up an area, with room for words beside it; null for nothing."""
        self.prepareGeometryChange()
        unit = self.look.mm_per_px
        room = ROOM_PX * unit
        left, right = room + left_px * unit, room + right_px * unit
        if self.look.underside:
            left, right = right, left
        self._bounds = (
            area.adjusted(-left, -room, right, room) if not area.isNull() else QRectF()
        )
        self.update()

    # Qt overrides

    def boundingRect(self) -> QRectF:
        """Return the box that everything painted stays in."""
        return self._bounds
