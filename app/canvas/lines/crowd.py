"""From afar: the many small things of a layer in a few batches."""

from collections.abc import Iterable

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.drawing import Small
from app.canvas.lines.batch import Batch, area_of
from app.canvas.look import Look

MARGIN_PX = 20.0
"""No pen, stroke or stamp reaches further from its line or place. [px]"""

FEW = 40
"""More things than this that come or go are painted with all the others."""


class Crowd(QGraphicsItem):
    """Draws what drawings look like from afar, batched by colour."""

    def __init__(self, look: Look, z: float) -> None:
        super().__init__()
        self._look = look
        self._batch = Batch(look)
        self._area = QRectF()
        self._margin_mm = MARGIN_PX
        self.setZValue(z)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    @property
    def is_empty(self) -> bool:
        """Whether it draws nothing."""
        return self._batch.is_empty

    def show_drawings(self, drawings: Iterable[Small]) -> None:
        """Draw these and no others; none where things are drawn one by one.

        A drawing that was shown before is taken to look the same.
        """
        changed = self._batch.show_drawings(drawings)
        if not changed:
            return
        m = self._margin_mm
        area = self._batch.area()
        if area != self._area:
            self.prepareGeometryChange()
            self._area = area
        if len(changed) > FEW:
            self.update()
            return
        for afar in changed:
            around = area_of([afar])
            if not around.isNull():
                self.update(around.adjusted(-m, -m, m, m))

    def set_room(self, mm_per_px: float) -> None:
        """Keep room for what is measured in pixels of that size or smaller."""
        self.prepareGeometryChange()
        self._margin_mm = MARGIN_PX * mm_per_px

    # Qt overrides

    def boundingRect(self) -> QRectF:
        """Return the box around everything it draws."""
        m = self._margin_mm
        return self._area.adjusted(-m, -m, m, m)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint batch after batch."""
        exposed: QRectF = option.exposedRect
        self._batch.paint(painter, exposed, fine=False)
