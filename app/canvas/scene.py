"""The scene: one item a part, kept in step with the layout."""

from collections.abc import Iterable, Mapping
from math import floor, log2

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainterPath, QPixmap
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.colouring import Colours
from app.canvas.drawings.drawing import MARGIN_MM, MARGIN_PX
from app.canvas.drawings.make import Surroundings, layer_of, make_drawing, survey
from app.canvas.drawings.picture import PictureDrawing
from app.canvas.drawings.run import RunDrawing
from app.canvas.item import PartItem
from app.canvas.look import Look
from app.canvas.overlay import Marker
from app.canvas.placer import MOST_PX_PER_MM, Placer
from core.layout.change import Change
from core.layout.ids import BACKDROP_ID, SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Board,
    Drop,
    Part,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import references

_TRACK = (TrackRun, TrackJoint, Turnout, Drop)
"""Changes of these may change which rail is which, or which ends are free."""


class PlanScene(QGraphicsScene):
    """Shows the parts of one layout."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.look = look
        self.parts: dict[PartId, PartItem] = {}
        self._layout = Layout()
        self._around = Surroundings()
        self._users: dict[PartId, set[PartId]] = {}
        self._named: dict[PartId, tuple[PartId, ...]] = {}
        self._colours: Mapping[PartId, Colours] | None = None
        self._selection: frozenset[PartId] = frozenset()
        self._hovered: PartId | None = None
        self._margin_mm = MARGIN_MM

    @property
    def around(self) -> Surroundings:
        """What drawings know of the whole layout."""
        return self._around

    def rebuild(self, layout: Layout) -> None:
        """Show another layout."""
        for item in self.parts.values():
            self.removeItem(item)
        self.parts.clear()
        self._users.clear()
        self._named.clear()
        self._layout, self._colours, self._hovered = layout, None, None
        self._around = survey(layout)
        self.look.gauge_mm = self._around.gauge_mm
        for part in layout.parts.values():
            self._refresh(part.id)
        self.place_labels()

    def set_zoom(self) -> None:
        """Take note that the zoom has changed: keep enough room about the parts."""
        octave = 2.0 ** floor(log2(self.look.px_per_mm))
        margin = MARGIN_MM + MARGIN_PX / octave
        if margin != self._margin_mm:
            self._margin_mm = margin
            for item in self.parts.values():
                item.set_margin(margin)

    def place_labels(self) -> None:
        """Find free spots for all words; those of lower rank choose first."""
        items = tuple(self.parts.values())
        if self.look.px_per_mm > MOST_PX_PER_MM:
            for item in items:
                item.place_labels(())
            return
        placer = Placer(self.look)
        for item in items:
            placer.cover(item.drawing.footprint(self.look, placer.step_mm))
        for marker in self.items():
            if isinstance(marker, Marker):
                placer.cover(marker.footprint(placer.step_mm))
        wishes = [
            (label.rank, number, index, label)
            for number, item in enumerate(items)
            for index, label in enumerate(item.labels)
        ]
        wishes.sort(key=lambda wish: wish[:3])
        spots = {wish[1:3]: placer.place(wish[3]) for wish in wishes}
        for number, item in enumerate(items):
            count = len(item.labels)
            item.place_labels(tuple(spots[number, i] for i in range(count)))

    def follow(self, change: Change) -> frozenset[PartId]:
        """Take over a change; return the ids whose drawings were made anew."""
        touched = frozenset(change.after)
        if SETTINGS_ID in touched and _scale_differs(change):
            colours = self._colours
            self.rebuild(self._layout)
            self.recolour(colours)
            return frozenset(self.parts)
        affected = set(touched)
        for part_id in touched:
            affected |= self._users.get(part_id, set())
        affected |= self._survey(change)
        for part_id in affected:
            self._refresh(part_id)
        return frozenset(affected)

    def recolour(self, colours: Mapping[PartId, Colours] | None) -> int:
        """Colour the track; return how many runs look different now."""
        self._colours = colours
        changed = 0
        for part_id, item in self.parts.items():
            if isinstance(item.drawing, RunDrawing):
                own = colours.get(part_id) if colours is not None else None
                if item.drawing.colour(own):
                    item.update()
                    changed += 1
        return changed

    def set_selection(self, ids: frozenset[PartId]) -> None:
        """Show which parts are selected."""
        changed = ids ^ self._selection
        self._selection = ids
        self._light(changed)

    def set_hovered(self, part_id: PartId | None) -> None:
        """Show which part is pointed at."""
        if part_id != self._hovered:
            changed = [i for i in (self._hovered, part_id) if i is not None]
            self._hovered = part_id
            self._light(changed)

    def relayer(self) -> None:
        """Put the parts above each other as suits the side they are seen from."""
        for part_id, item in self.parts.items():
            part = self._layout.parts[part_id]
            item.setZValue(layer_of(part, underside=self.look.underside))
        self.update()

    def set_picture(self, backdrop: Backdrop, levels: Iterable[QImage]) -> None:
        """Show the picture that was read for a backdrop."""
        item = self.parts.get(BACKDROP_ID)
        drawing = item.drawing if item is not None else None
        if isinstance(drawing, PictureDrawing) and drawing.backdrop is backdrop:
            drawing.set_levels(tuple(QPixmap.fromImage(level) for level in levels))
            self.parts[BACKDROP_ID].update()

    @property
    def unread_picture(self) -> Backdrop | None:
        """The backdrop whose picture is still to be read."""
        item = self.parts.get(BACKDROP_ID)
        drawing = item.drawing if item is not None else None
        if isinstance(drawing, PictureDrawing) and not drawing.is_ready:
            return drawing.backdrop
        return None

    def hit(self, x_mm: float, y_mm: float) -> PartId | None:
        """Return the topmost part at a place."""
        at = QPointF(x_mm, y_mm)
        for item in self.items(at):
            if isinstance(item, PartItem):
                return item.part_id
        return None

    def parts_in(self, area: QRectF, *, touch: bool) -> frozenset[PartId]:
        """Return the parts inside an area, or touched by it; not the picture."""
        if touch:
            mode = Qt.ItemSelectionMode.IntersectsItemShape
            found = {
                i.part_id for i in self.items(area, mode) if isinstance(i, PartItem)
            }
        else:
            found = {
                part_id
                for part_id, item in self.parts.items()
                if _lies_in(item.drawing.bounds(), area)
            }
        return frozenset(found - {BACKDROP_ID})

    def boards(self) -> list[QRectF]:
        """Return the rectangles of all boards. [mm]"""
        return [
            QRectF(b.x_mm, b.y_mm, b.width_mm, b.depth_mm)
            for b in self._layout.of_kind(Board)
        ]

    def content(self, ids: Iterable[PartId] | None = None) -> QRectF:
        """Return the box around parts, all of them unless said. [mm]"""
        wanted = self.parts if ids is None else ids
        path = QPainterPath()
        for part_id in wanted:
            item = self.parts.get(part_id)
            if item is not None:
                path.addRect(item.drawing.bounds())
        return path.boundingRect()

    def _survey(self, change: Change) -> set[PartId]:
        """Look round again where track changed; return runs that look different."""
        kinds = (*change.before.values(), *change.after.values())
        if not any(isinstance(part, _TRACK) for part in kinds):
            return set()
        before, self._around = self._around, survey(self._layout)
        return {
            part_id
            for part_id, item in self.parts.items()
            if isinstance(item.drawing, RunDrawing)
            and before.facts_of(part_id) != self._around.facts_of(part_id)
        }

    def _refresh(self, part_id: PartId) -> None:
        """Make the drawing of a part anew, or take it away."""
        part = self._layout.parts.get(part_id)
        self._note_references(part_id, part)
        drawing = make_drawing(self._layout, part, self._around) if part else None
        item = self.parts.get(part_id)
        if part is None or drawing is None:
            if item is not None:
                self.removeItem(item)
                del self.parts[part_id]
            return
        if isinstance(drawing, RunDrawing) and self._colours is not None:
            drawing.colour(self._colours.get(part_id))
        if item is not None:
            if isinstance(drawing, PictureDrawing):
                drawing.take_over(item.drawing)
            item.set_drawing(drawing)
            return
        item = PartItem(part_id, drawing, self.look)
        item.set_margin(self._margin_mm)
        item.setZValue(layer_of(part, underside=self.look.underside))
        self.parts[part_id] = item
        self.addItem(item)
        self._light((part_id,))

    def _note_references(self, part_id: PartId, part: Part | None) -> None:
        named = references(part) if part is not None else ()
        for other in self._named.pop(part_id, ()):
            self._users[other].discard(part_id)
        for other in named:
            self._users.setdefault(other, set()).add(part_id)
        if named:
            self._named[part_id] = named

    def _light(self, ids: Iterable[PartId]) -> None:
        for part_id in ids:
            item = self.parts.get(part_id)
            if item is not None:
                item.light_up(
                    selected=part_id in self._selection,
                    hovered=part_id == self._hovered,
                )


def _scale_differs(change: Change) -> bool:
    scales = {
        getattr(c.get(SETTINGS_ID), "scale", "") for c in (change.before, change.after)
    }
    return len(scales) > 1


def _lies_in(bounds: QRectF, area: QRectF) -> bool:
    return (
        area.left() <= bounds.left()
        and area.right() >= bounds.right()
        and area.top() <= bounds.top()
        and area.bottom() >= bounds.bottom()
    )
