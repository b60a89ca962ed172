"""The picture under the drawing."""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPixmap

from app.canvas.drawings.drawing import WIDE
from app.canvas.look import Look
from app.canvas.words.label import Label
from app.canvas.words.placer import NO_FOOTPRINT, Footprint
from core.layout.parts import Backdrop


class PictureDrawing:
    """The drawing of the backdrop: an empty frame until its picture is read."""

    girth_mm = 0.0
    room = WIDE

    def __init__(self, backdrop: Backdrop) -> None:
        self.backdrop = backdrop
        self._rect = QRectF(
            backdrop.x_mm,
            backdrop.y_mm,
            backdrop.width_px * backdrop.mm_per_px,
            backdrop.height_px * backdrop.mm_per_px,
        )
        self._levels: tuple[QPixmap, ...] = ()

    def set_levels(self, levels: tuple[QPixmap, ...]) -> None:
        """Take the picture, and halves of it, each half the size of the one before."""
        self._levels = levels

    def take_over(self, other: object) -> None:
        """Go on with the picture of another drawing, if it is the same picture."""
        if isinstance(other, PictureDrawing):
            old, new = other.backdrop, self.backdrop
            if old.data is new.data and old.opacity == new.opacity:
                self.set_levels(other.levels)

    @property
    def levels(self) -> tuple[QPixmap, ...]:
        """The picture and its halves."""
        return self._levels

    @property
    def is_ready(self) -> bool:
        """Whether the picture has been read."""
        return bool(self._levels)

    def bounds(self) -> QRectF:
        """Return its rectangle. [mm]"""
        return self._rect

    def outline(self) -> QPainterPath:
        """Return its edge."""
        path = QPainterPath()
        path.addRect(self._rect)
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:  # noqa: ARG002
        """Return nothing: a picture is never hit by chance."""
        return QPainterPath()

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint the level that suits the zoom."""
        if not self._levels:
            painter.setPen(look.pen(look.theme.tie, 1.0))
            painter.drawRect(self._rect)
            return
        pixmap = self._level(look)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        # The picture's rows go down, plan coordinates go up.
        painter.translate(self._rect.left(), self._rect.bottom())
        painter.scale(1.0, -1.0)
        target = QRectF(0.0, 0.0, self._rect.width(), self._rect.height())
        painter.drawPixmap(target, pixmap, QRectF(pixmap.rect()))
        painter.restore()

    def labels(self, look: Look) -> tuple[Label, ...]:  # noqa: ARG002
        """Return no words."""
        return ()

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return nothing: words may stand on the picture."""
        return NO_FOOTPRINT

    def _level(self, look: Look) -> QPixmap:
        wanted = self._rect.width() * look.px_per_mm
        fitting = [level for level in self._levels if level.width() >= wanted]
        return fitting[-1] if fitting else self._levels[0]
