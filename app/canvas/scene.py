"""The scene: one item a part, kept in step with the layout."""

from collections.abc import Generator, Iterable, Iterator, Mapping
from dataclasses import replace
from math import floor, log2

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsItem, QGraphicsScene

from app.canvas.colouring import Colours
from app.canvas.crowding import Crowds
from app.canvas.drawings.make import Surroundings, layer_of, make_drawing, survey
from app.canvas.drawings.picture import PictureDrawing
from app.canvas.drawings.run import RAILS_FROM_PX, RunDrawing
from app.canvas.item import PartItem, are_alike
from app.canvas.lines.chunks import Floats
from app.canvas.lines.crowd import Crowd
from app.canvas.look import Look
from app.canvas.over.markers import Marker
from app.canvas.over.meets import Meets
from app.canvas.over.overlay import Overlay
from app.canvas.over.trail import TrailMark
from app.canvas.railing import Railing
from app.canvas.sketch import ON_TRACK, Sketch
from app.canvas.words.label import XY, Label
from app.canvas.words.placer import MOST_PX_PER_MM, Placer
from app.session.views import View
from core.analysis.railmap import RailMap
from core.layout.change import Change
from core.layout.ids import BACKDROP_ID, SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Board,
    Bus,
    Crossing,
    Drop,
    Inline,
    Opening,
    Part,
    Settings,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import references
from core.layout.roads import part_of

_TRACK = (TrackRun, TrackJoint, Turnout, Turntable, Crossing, Drop)
"""Changes of these may change which rail is which, or which ends are free."""


MANY_PARTS = 800
"""From so many parts on, lines are drawn rough while the wheel turns."""


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
        self._railing = Railing(self.parts)
        self._boards: Floats | None = None
        self._selection: frozenset[PartId] = frozenset()
        self._hovered: PartId | None = None
        self._mm_per_px = 1.0
        self.overlays: list[Overlay] = []
        self.crowds = Crowds(look, self.parts)
        self._sketch = Sketch(look)
        self._is_sketched = False
        for crowd in self.crowds.items:
            self.addItem(crowd)

    @property
    def crowd(self) -> Crowd:
        """What draws the small things on track where they are many."""
        return self.crowds.on_track

    @property
    def around(self) -> Surroundings:
        """What drawings know of the whole layout."""
        return self._around

    def rebuild(self, layout: Layout) -> None:
        """Show another layout."""
        self._boards = None
        self.crowds.forget()
        for item in self.parts.values():
            self.removeItem(item)
        self.parts.clear()
        self._users.clear()
        self._named.clear()
        self._layout, self._colours, self._hovered = layout, None, None
        self._railing.show(None)
        self._around = survey(layout)
        self.look.gauge_mm = self._around.gauge_mm
        for part in layout.parts.values():
            self._refresh(part.id)

    @property
    def is_large(self) -> bool:
        """Whether there is so much that some of it has to wait."""
        return len(self.parts) >= MANY_PARTS

    def settle(self, view_px: QSize) -> None:
        """Decide from which zoom on small things are drawn as a crowd."""
        self.look.is_patient = self.is_large
        self.crowds.settle(view_px, self.content)

    def set_zoom(self) -> None:
        """Take note that the zoom has changed: keep enough room about the parts."""
        if self.is_sketched:
            return  # it asks nothing of the items
        self.crowds.gather(anew=False)
        if self.look.is_rough:
            return  # no words are shown, so there is room enough till all is still
        # By powers of two, so that it seldom changes; never too little.
        mm_per_px = 2.0 ** -floor(log2(self.look.px_per_mm))
        if mm_per_px != self._mm_per_px:
            self._mm_per_px = mm_per_px
            for item in self.parts.values():
                item.set_room(mm_per_px)
            self.crowds.set_room(mm_per_px)

    def place_labels(self, area: QRectF) -> Iterator[None]:
        """Find free spots for the words in an area; lower ranks choose first. [mm]

        It may be left off at each step and gone on with later.
        """
        found = self.items(area, Qt.ItemSelectionMode.IntersectsItemBoundingRect)
        if self.look.px_per_mm > MOST_PX_PER_MM:
            for thing in found:
                if isinstance(thing, PartItem):
                    thing.place_labels(())
            return
        crowded = self.crowds.are_wanted
        placer = Placer(self.look, area)
        items: list[PartItem] = []
        for thing in found:
            if isinstance(thing, Marker | Meets | TrailMark):
                placer.cover(thing.footprint(placer.step_mm))
            elif isinstance(thing, PartItem):
                if crowded and isinstance(thing.drawing, ON_TRACK):
                    continue
                items.append(thing)
                placer.cover(thing.drawing.footprint(self.look, placer.step_mm))
                yield
        yield from _choose_spots(placer, items)

    def follow(self, change: Change) -> frozenset[PartId]:
        """Take over a change; return the ids whose drawings were made anew."""
        self._boards = None
        self.crowds.forget()
        touched = frozenset(change.after)
        if SETTINGS_ID in touched and _scale_differs(change):
            colours, thrown = self._colours, self._around.thrown
            rails = self._railing.rails
            self.rebuild(self._layout)
            self.recolour(colours)
            self._railing.show(rails)
            self.set_thrown(thrown)
            return frozenset(self.parts)
        for part_id in touched:
            if _is_redrawn(change, part_id):
                self._railing.forget(part_id)
        affected = {*touched, *self.users_of(touched), *self._survey(change)}
        affected |= self._beside(change)
        for part_id in affected:
            self._refresh(part_id)
        return frozenset(affected)

    def _beside(self, change: Change) -> set[PartId]:
        """Return the turnouts on the same runs as those that a change is about.

        Where it is about buses, openings too: they show the plugs by which those part;
        and where it is about what may carry a bus on, buses with a snubber.
        """
        kinds = (*change.before.values(), *change.after.values())
        runs = {part.on.run for part in kinds if isinstance(part, Turnout)}
        found = {t.id for t in self._layout.of_kind(Turnout) if t.on.run in runs}
        if any(isinstance(part, Bus) for part in kinds):
            found |= {o.id for o in self._layout.of_kind(Opening)}
        if any(isinstance(part, Bus | Inline) for part in kinds):
            found |= {bus.id for bus in self._layout.of_kind(Bus) if bus.snubber}
        return found

    def users_of(self, ids: Iterable[PartId]) -> set[PartId]:
        """Return the parts whose drawings depend on some others."""
        return {user for part_id in ids for user in self._users.get(part_id, ())}

    @property
    def is_sketched(self) -> bool:
        """Whether the sketch shows the plan now: the zoom is changing, far off."""
        return self.look.is_rough and self.look.gauge_px < RAILS_FROM_PX

    def sketch(self, painter: QPainter, exposed: QRectF) -> None:
        """Paint all of the plan in few strokes, past the items. [mm]"""
        self._gather_sketch()
        ids = {*self._selection, self._hovered}
        lit = [item for i in ids if i is not None and (item := self.parts.get(i))]
        crowded = self.crowds.are_wanted
        self._sketch.paint(painter, exposed, lit, crowded=crowded)

    def prepare_sketch(self) -> Iterator[None]:
        """Make the sketch ready before it is wanted, bit by bit."""
        if not self._is_sketched:
            yield from self._sketch.learn(list(self.parts.values()))
            self._gather_sketch()
            yield from self._sketch.prepare()

    def _gather_sketch(self) -> None:
        if not self._is_sketched:
            self._is_sketched = True
            self._sketch.show_parts(self.parts.values())

    def recolour(self, colours: Mapping[PartId, Colours] | None) -> int:
        """Colour the track; return how many runs look different now."""
        return sum(bool(step) for step in self.recolour_some(colours))

    def recolour_some(
        self, colours: Mapping[PartId, Colours] | None
    ) -> Generator[bool | None, None, None]:
        """Colour the track bit by bit; what differs is painted once all is ready.

        It may be left off at each step, and gone on with later: closed early, what has
        its new colours by then is painted.

        Yields
        ------
        bool or None
            Whether one more run looks different; None once all are ready, and only
            to be painted yet.
        """
        self._colours, self._is_sketched = colours, False
        differs: list[tuple[PartItem, list[QRectF]]] = []
        try:
            for part_id, item in list(self.parts.items()):
                drawing = item.drawing
                if not isinstance(drawing, RunDrawing):
                    continue
                if self.parts.get(part_id) is not item:
                    continue  # taken out meanwhile
                own = colours.get(part_id) if colours is not None else None
                areas = drawing.colour(own)
                if areas:
                    differs.append((item, areas))
                    drawing.make_ready(self.look)
                yield bool(areas)
            yield None
        finally:
            for item, areas in differs:
                for area in areas:
                    item.update_about(area)

    def show_rails(self, rails: RailMap | None) -> int:
        """Draw rails by their poles, and tell of cuts; return how many runs changed."""
        self._is_sketched = False
        return self._railing.show(rails)

    def area_of_district(self, number: int) -> QRectF:
        """Return the box around a district's track. [mm]"""
        return self._railing.area_of(number)

    def set_view(self, view: View | None) -> None:
        """Show the track by its colours, its poles or its districts."""
        if view != self.look.view:
            before = {view, self.look.view}
            self.look.view, self.look.focus = view, 0
            self._is_sketched = False
            if before & {"poles", "districts"}:
                self.update()

    def set_focus(self, number: int) -> None:
        """Let one district stand out; 0 for none."""
        if number != self.look.focus:
            self.look.focus = number
            self.update()

    def set_thrown(self, ids: frozenset[PartId]) -> None:
        """Show turnouts and crossings as a setting has them: `core.layout.roads`."""
        changed = ids ^ self._around.thrown
        self._around = replace(self._around, thrown=ids)
        for part_id in {part_of(mark) for mark in changed}:
            self._refresh(part_id)

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
        self._is_sketched = False
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
                if _lies_in(item.extent, area)
            }
        return frozenset(found - {BACKDROP_ID})

    def boards(self) -> Floats:
        """Return left, low, right and high edge of each board, shape (N, 4). [mm]"""
        if self._boards is None:
            edges = [
                (b.x_mm, b.y_mm, b.x_mm + b.width_mm, b.y_mm + b.depth_mm)
                for b in self._layout.of_kind(Board)
            ]
            self._boards = np.array(edges, np.float64).reshape(-1, 4)
        return self._boards

    def content(self, ids: Iterable[PartId] | None = None) -> QRectF:
        """Return the box around parts, all of them unless said. [mm]"""
        wanted = self.parts if ids is None else ids
        found = (self.parts.get(part_id) for part_id in wanted)
        edges = [i.extent.getCoords() for i in found if i is not None]
        if not edges:
            return QRectF()
        left, top, right, bottom = zip(*edges, strict=True)
        low, high = (min(left), min(top)), (max(right), max(bottom))
        return QRectF(*low, high[0] - low[0], high[1] - low[1])

    # Qt overrides

    def addItem(self, item: QGraphicsItem) -> None:  # noqa: N802
        """Add an item, and remember those that lie over all parts."""
        super().addItem(item)
        if isinstance(item, Overlay):
            self.overlays.append(item)

    def _survey(self, change: Change) -> set[PartId]:
        """Look round again where track changed; return runs that look different."""
        kinds = (*change.before.values(), *change.after.values())
        if not any(isinstance(part, (*_TRACK, Settings)) for part in kinds):
            return set()
        before = self._around
        self._around = survey(self._layout, before.thrown)
        return {
            part_id
            for part_id, item in self.parts.items()
            if isinstance(item.drawing, RunDrawing)
            and before.facts_of(part_id) != self._around.facts_of(part_id)
        }

    def _refresh(self, part_id: PartId) -> None:
        """Make the drawing of a part anew, or take it away."""
        self._is_sketched = False
        part = self._layout.parts.get(part_id)
        self._note_references(part_id, part)
        drawing = make_drawing(self._layout, part, self._around) if part else None
        item = self.parts.get(part_id)
        if part is None or drawing is None:
            if item is not None:
                self.removeItem(item)
                del self.parts[part_id]
            return
        if item is not None and are_alike(item.drawing, drawing):
            return  # there may be hundreds of drops on a bus
        self._railing.dress(part_id, drawing)
        if isinstance(drawing, RunDrawing) and self._colours is not None:
            drawing.colour(self._colours.get(part_id))
        if item is not None:
            if isinstance(drawing, PictureDrawing):
                drawing.take_over(item.drawing)
            item.set_drawing(drawing)
            return
        item = PartItem(part_id, drawing, self.look)
        item.set_room(self._mm_per_px)
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


def _choose_spots(placer: Placer, items: list[PartItem]) -> Iterator[None]:
    wishes: list[tuple[int, PartId, int, Label]] = []
    for item in items:
        for index, label in enumerate(item.labels):
            wishes.append((label.rank, item.part_id, index, label))
        yield
    wishes.sort(key=lambda wish: wish[:3])
    spots: dict[tuple[PartId, int], XY | None] = {}
    for _, part_id, index, label in wishes:
        before = spots.get((part_id, index - 1)) if label.instead else None
        spots[part_id, index] = placer.place(label) if before is None else None
        yield
    for item in items:
        count = len(item.labels)
        placed = tuple(spots.get((item.part_id, i), (0.0, 0.0)) for i in range(count))
        item.place_labels(placed)


def _scale_differs(change: Change) -> bool:
    scales = {
        getattr(c.get(SETTINGS_ID), "scale", "") for c in (change.before, change.after)
    }
    return len(scales) > 1


def _is_redrawn(change: Change, part_id: PartId) -> bool:
    """Return whether a run has another shape now, so that old places are off."""
    before, after = change.before[part_id], change.after[part_id]
    if not (isinstance(before, TrackRun) and isinstance(after, TrackRun)):
        return True
    shape = (before.pieces, before.heading_deg)
    return shape != (after.pieces, after.heading_deg)


def _lies_in(bounds: QRectF, area: QRectF) -> bool:
    return (
        area.left() <= bounds.left()
        and area.right() >= bounds.right()
        and area.top() <= bounds.top()
        and area.bottom() >= bounds.bottom()
    )
