"""From afar: the many small things in a few batches instead of one by one."""

from collections.abc import Iterable

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.drawing import Small, Strand
from app.canvas.lines.chunks import Chunks, Floats
from app.canvas.look import Look

MARGIN_PX = 4.0

FEW = 40
"""More things than this that come or go are painted with all the others."""


class Crowd(QGraphicsItem):
    """Draws what drawings look like from afar, batched by colour."""

    def __init__(self, look: Look, z: float) -> None:
        super().__init__()
        self._look = look
        self._batches: dict[Strand, Chunks] = {}
        self._known: dict[Small, tuple[Strand, Floats]] = {}
        self._area = QRectF()
        self._margin_mm = 0.0
        self.setZValue(z)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    @property
    def is_empty(self) -> bool:
        """Whether it draws nothing."""
        return not self._batches

    def show_drawings(self, drawings: Iterable[Small]) -> None:
        """Draw these and no others; none where things are drawn one by one.

        A drawing that was shown before is taken to look the same.
        """
        before = self._known
        self._known = {d: before.get(d) or d.from_afar() for d in drawings}
        changed = before.keys() ^ self._known.keys()
        margin_mm = MARGIN_PX * self._look.mm_per_px
        if not changed and margin_mm == self._margin_mm:
            return
        rows: dict[Strand, list[Floats]] = {}
        for strand, ends in self._known.values():
            rows.setdefault(strand, []).append(ends)
        joined = {strand: np.concatenate(ends) for strand, ends in rows.items()}
        self._batches = {strand: Chunks(ends) for strand, ends in joined.items()}
        area = _area(list(joined.values()))
        if (area, margin_mm) != (self._area, self._margin_mm):
            self.prepareGeometryChange()
            self._area, self._margin_mm = area, margin_mm
        if len(changed) > FEW:
            self.update()
            return
        m = margin_mm
        for drawing in changed:
            _, ends = before.get(drawing) or self._known[drawing]
            if len(ends):
                self.update(_area([ends]).adjusted(-m, -m, m, m))

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
        for strand, chunks in self._batches.items():
            colour = getattr(self._look.theme, strand.colour)
            painter.setPen(self._look.pen(colour, strand.width_px))
            chunks.draw(painter, exposed, self._margin_mm)


def _area(ends: "list[Floats]") -> QRectF:
    if not ends:
        return QRectF()
    points = np.concatenate(ends).reshape(-1, 2)
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return QRectF(x0, y0, x1 - x0, y1 - y0)
