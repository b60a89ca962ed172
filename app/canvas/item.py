"""The one scene item of the canvas: it holds the drawing of a part."""

from typing import Any

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.drawings.bus import BusDrawing
from app.canvas.drawings.drawing import HIT_PX, Drawing, Small
from app.canvas.drawings.drop import DropDrawing
from app.canvas.drawings.run import RunDrawing
from app.canvas.look import Look
from app.canvas.words.label import XY, Label, best_spots, reach_of
from app.session.views import View
from core.layout.ids import PartId

GLOW_PX, HOVER_PX = 9.0, 7.0
GLOW_ALPHA, HOVER_ALPHA = 120, 60
_State = tuple[float, bool, str, View | None]
"""What the words depend on: zoom, side, theme, and whether rails are shown."""

REACH_MM = 60.0
"""No symbol reaches further beyond its bounds than this, and the hit margin. [mm]"""


class PartItem(QGraphicsItem):
    """Shows one drawing, and lights it up when it is selected or pointed at."""

    def __init__(self, part_id: PartId, drawing: Drawing, look: Look) -> None:
        super().__init__()
        self.part_id = part_id
        self.drawing = drawing
        self._look = look
        self._selected = False
        self._hovered = False
        self._in_crowd = self._keeps_words = False
        self._mm_per_px = 0.0
        self._words_px: XY = (0.0, 0.0)
        self.extent = self._ink = self._bounds = drawing.bounds()
        self._labels: tuple[_State, tuple[Label, ...]] | None = None
        self._placed: tuple[XY | None, ...] = ()
        self._word_areas: tuple[_State, list[tuple[Label, XY, QRectF]]] | None = None
        self._shape: tuple[float, QPainterPath] | None = None
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)

    def set_drawing(self, drawing: Drawing) -> None:
        """Show another drawing of the same part."""
        self._update_words()
        before, self.drawing = self.drawing, drawing
        self.extent = drawing.bounds()
        box = self._box()
        if box != self._bounds:
            self.prepareGeometryChange()
            self._bounds = box
        self._shape = self._labels = self._word_areas = None
        if not _draw_alike(before, drawing):
            for area in (*_areas(before), *_areas(drawing)):
                self.update_about(area)
        self._update_words()

    def set_room(self, mm_per_px: float) -> None:
        """Keep room for what is measured in pixels of that size or smaller."""
        self.prepareGeometryChange()
        self._mm_per_px, self._words_px = mm_per_px, (0.0, 0.0)
        self._bounds = self._box()

    @property
    def labels(self) -> tuple[Label, ...]:
        """The words of the drawing at the present zoom, side and theme."""
        look = self._look
        state = _state_of(look)
        if self._labels is None or self._labels[0] != state:
            self._labels = (state, self.drawing.labels(look))
            self._word_areas = None
        return self._labels[1]

    def place_labels(self, placed: tuple[XY | None, ...]) -> None:
        """Put the words where they are free of everything else.

        Without a place for each of them they take their best ones.
        """
        if len(placed) != len(self.labels):
            placed = best_spots(self.labels)
        reach, before = reach_of(self._look, self.labels, placed), self._words_px
        words_px = (max(reach[0], before[0]), max(reach[1], before[1]))
        if words_px != before:
            self.prepareGeometryChange()
            self._words_px = words_px
            self._bounds = self._box()
        if placed != self._placed:
            self._update_words()
            self._placed, self._word_areas = placed, None
            if self._in_crowd:
                self._show()
            self._update_words()

    def forget_words(self) -> None:
        """Leave the words out until they are placed anew: they are other ones now."""
        self._update_words()
        self._labels, self._placed, self._word_areas = None, (), None

    def update_about(self, area: QRectF) -> None:
        """Paint a part of the drawing again. [mm]"""
        px, mm = self.drawing.room
        m = mm + px * self._mm_per_px
        self.update(area.adjusted(-m, -m, m, m))

    def _update_words(self) -> None:
        """Paint again what the words cover."""
        if len(self._placed) != len(self.labels):
            self.update()  # those placed before were other words
            return
        for label, spot in zip(self.labels, self._placed, strict=True):
            if spot is not None:
                self.update(label.area(self._look, spot))

    def light_up(self, *, selected: bool, hovered: bool) -> None:
        """Show whether it is selected or pointed at."""
        if (selected, hovered) != (self._selected, self._hovered):
            self._selected, self._hovered = selected, hovered
            self._show()
            self.update()

    def meets(self, area: QRectF) -> bool:
        """Return whether what it draws may reach into an area, but for words. [mm]"""
        return area.intersects(self._ink)

    def join_crowd(self, *, joined: bool, with_words: bool) -> None:
        """Let the crowd draw it, unless it is lit; it can be hit all the same.

        Its words are its own, if it keeps them there.
        """
        if (joined, with_words) == (self._in_crowd, self._keeps_words):
            return
        self._in_crowd, self._keeps_words = joined, with_words
        self._show()

    @property
    def small(self) -> Small:
        """Its drawing, where that may be one of thousands."""
        drawing: Any = self.drawing
        return drawing  # type: ignore[no-any-return]

    @property
    def is_lit(self) -> bool:
        """Whether it is shown as selected."""
        return self._selected

    @property
    def _is_drawn_by_crowd(self) -> bool:
        return self._in_crowd and not (self._selected or self._hovered)

    def _show(self) -> None:
        hidden = self._is_drawn_by_crowd and not (
            self._keeps_words and any(spot is not None for spot in self._placed)
        )
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemHasNoContents, hidden)

    # Qt overrides

    def boundingRect(self) -> QRectF:
        """Return the box that everything painted stays in."""
        return self._bounds

    def shape(self) -> QPainterPath:
        """Return where it is hit at the present zoom."""
        mm_per_px = self._look.mm_per_px
        if self._shape is None or self._shape[0] != mm_per_px:
            self._shape = (mm_per_px, self.drawing.shape(mm_per_px))
        return self._shape[1]

    def contains(self, point: Any) -> bool:
        """Return whether it is hit; what is far off is told without the shape."""
        reach = REACH_MM + 2.0 * HIT_PX * self._look.mm_per_px
        near = self.extent.adjusted(-reach, -reach, reach, reach)
        return near.contains(point) and self.shape().contains(point)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,  # noqa: ARG002
    ) -> None:
        """Paint the drawing, over a glow where it is lit."""
        self.paint_glow(painter)
        any_option: Any = option
        exposed: QRectF = any_option.exposedRect
        # The box may be met by the room for words alone.
        if exposed.intersects(self._ink) and not self._is_drawn_by_crowd:
            self.drawing.paint(painter, self._look, exposed)
        if not self._look.is_rough:
            for label, spot, area in self._words():
                if exposed.intersects(area):
                    label.paint(painter, self._look, spot)

    def paint_glow(self, painter: QPainter) -> None:
        """Paint what shows that it is selected or pointed at, if it is."""
        if self._selected or self._hovered:
            painter.strokePath(self.drawing.outline(), self._glow())

    def _words(self) -> list[tuple[Label, XY, QRectF]]:
        """Return the words that are placed, each with what it covers. [mm]

        Those that have no place yet are left out for a moment.
        """
        state = _state_of(self._look)
        if not self._placed or (self._is_stale(state) and self._look.is_patient):
            return []
        labels = self.labels
        if len(self._placed) != len(labels):
            return []
        if self._word_areas is None or self._word_areas[0] != state:
            found = [
                (label, spot, label.area(self._look, spot))
                for label, spot in zip(labels, self._placed, strict=True)
                if spot is not None
            ]
            self._word_areas = (state, found)
        return self._word_areas[1]

    def _is_stale(self, state: _State) -> bool:
        """Return whether its words were made for another state of the look."""
        return self._labels is not None and self._labels[0] != state

    def _glow(self) -> QPen:
        colour = QColor(self._look.theme.selected)
        colour.setAlpha(GLOW_ALPHA if self._selected else HOVER_ALPHA)
        width = self.drawing.girth_mm * self._look.px_per_mm
        width += GLOW_PX if self._selected else HOVER_PX
        pen = QPen(colour, width)
        pen.setCosmetic(True)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        return pen

    def _box(self) -> QRectF:
        px, mm = self.drawing.room
        m = mm + px * self._mm_per_px
        self._ink = self.extent.adjusted(-m, -m, m, m)
        across, up = (
            mm + max(px, words_px) * self._mm_per_px for words_px in self._words_px
        )
        return self.extent.adjusted(-across, -up, across, up)


def _state_of(look: Look) -> _State:
    # By volts or ohms, words are the same.
    view = look.view if look.view in ("poles", "districts") else None
    return (look.px_per_mm, look.underside, look.theme.name, view)


def _draw_alike(before: Drawing, after: Drawing) -> bool:
    """Return whether two drawings have the same lines; words aside."""
    if isinstance(before, BusDrawing) and isinstance(after, BusDrawing):
        return before.ink == after.ink
    if isinstance(before, DropDrawing) and isinstance(after, DropDrawing):
        return before.ink == after.ink
    return False


def are_alike(before: Drawing, after: Drawing) -> bool:
    """Return whether two drawings look the same, words and all."""
    if not _draw_alike(before, after):
        return False
    assert isinstance(before, BusDrawing | DropDrawing)
    assert isinstance(after, BusDrawing | DropDrawing)
    return before.text == after.text


def _areas(drawing: Drawing) -> list[QRectF]:
    """Return boxes that hold all of a drawing; those that wind have several. [mm]"""
    if isinstance(drawing, RunDrawing | BusDrawing):
        return drawing.areas()
    return [drawing.bounds()]
