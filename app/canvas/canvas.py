"""The canvas: the layout of a session in plan, and the tool in the hand."""

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QMouseEvent

from app.canvas.desk import CanvasDesk, Sayings
from app.canvas.heat import HeatMap
from app.canvas.look import Look
from app.canvas.over.handles import Handles
from app.canvas.over.markers import ProbePin
from app.canvas.over.preview import Preview
from app.canvas.picture import PictureRoom
from app.canvas.pointing import CURSORS, held_of, is_wanted, key_of
from app.canvas.view import PlanView
from app.session.session import Session
from app.session.theme import Theme
from app.tools.catalogue import TOOLS
from app.tools.pointer import Held, Pointer, Snap
from app.tools.selecting.handles import handles_of
from app.tools.snapping.snapper import Snapper
from app.tools.state import Hand
from core.analysis.study import Quantity
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import place_xy
from core.units.figures import show_volts

PLACE_PX_PER_MM = 0.9
"""A place that is gone to is shown at least this large. [px/mm]"""

PARTS_PX_PER_MM = 1.5
"""Parts that are gone to are shown no larger than this. [px/mm]"""

AROUND_MM = 150.0
"""How much is shown round parts that are gone to. [mm]"""


class Canvas(PlanView):
    """Shows the layout of a session and lets tools work on it.

    Signals
    -------
    tool_changed(str)
        Another tool was taken up.
    hint_changed(str), typing_changed(str), measure_changed(str)
        What can be done now; what is typed; lengths of what is being drawn.
    pointer_moved(float, float)
        Where the pointer is in plan, as it is pulled. [mm]
    legend_changed(Legend or None)
        What the colours along the track mean.
    menu_asked(QPoint)
        The right button was pressed at rest, over what is now selected; where
        on the screen.
    """

    tool_changed = Signal(str)
    hint_changed = Signal(str)
    typing_changed = Signal(str)
    measure_changed = Signal(str)
    pointer_moved = Signal(float, float)
    legend_changed = Signal(object)
    menu_asked = Signal(QPoint)

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(Look(theme))
        self._session = session
        self._preview = Preview(self.look)
        self._handles = Handles(self.look)
        self._pin = ProbePin(self.look)
        for overlay in (self._preview, self._handles, self._pin):
            self.plan.addItem(overlay)
        self._heat = HeatMap(self.plan, self.look)
        self._pictures = PictureRoom(self)
        self._snapper = Snapper(session.layout)
        self._is_snapping = True
        self._is_space_down = False
        self._last: QPointF | None = None
        self._tool = "select"
        say = Sayings(
            self.hint_changed.emit, self.measure_changed.emit, self.typing_changed.emit
        )
        self._desk = CanvasDesk(session, self.plan, self._preview, say)
        self._hand = Hand(self._desk, TOOLS[self._tool].begin)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._connect()
        self._on_replaced()

    @property
    def tool(self) -> str:
        """The tool in the hand."""
        return self._tool

    @property
    def hint(self) -> str:
        """What can be done now, in one line."""
        return self._hand.state.hint

    @property
    def colouring(self) -> Quantity | None:
        """The quantity shown along the track."""
        return self._heat.quantity

    def set_tool(self, tool_id: str) -> None:
        """Take up a tool; what is under way with the other is left."""
        self._hand.cancel()
        self._tool = tool_id
        self._hand = Hand(self._desk, TOOLS[tool_id].begin)
        self.plan.set_hovered(None)
        self._show_cursor()
        self._show_handles()
        self.tool_changed.emit(tool_id)

    def set_colouring(self, quantity: Quantity | None) -> None:
        """Show a quantity along the track, or none."""
        self._heat.quantity = quantity
        self._show_heat()

    def set_snapping(self, snapping: bool) -> None:  # noqa: FBT001
        """Let grid and round angles pull, or not."""
        self._is_snapping = snapping

    def set_theme(self, theme: Theme) -> None:
        """Take other colours."""
        self.look.set_theme(theme)
        self._pictures.read(self._session.layout.backdrop, theme.paper)
        self.viewport().update()
        self.legend_changed.emit(self._heat.legend(self._session.layout))

    def show_place(self, on: OnRun) -> None:
        """Bring a place of track to the middle, near enough to see it."""
        at = place_xy(self._session.layout, on)
        if at is not None:
            self.show_at(*at, max(self.look.px_per_mm, PLACE_PX_PER_MM))

    def show_parts(self, ids: Iterable[PartId]) -> None:
        """Bring parts into view."""
        known = [i for i in ids if i in self.plan.parts]
        if known:
            area = self.plan.content(known)
            area.adjust(-AROUND_MM, -AROUND_MM, AROUND_MM, AROUND_MM)
            self.show_area(area, PARTS_PX_PER_MM)

    # Qt overrides

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Hand a press to the tool, or take hold of the plan."""
        place = event.position().toPoint()
        button = event.button()
        if button == Qt.MouseButton.MiddleButton or (
            button == Qt.MouseButton.LeftButton and self._is_space_down
        ):
            self.begin_pan(place)
        elif button == Qt.MouseButton.LeftButton:
            self._hand.press(self._pointer(event))
            self._show_cursor()
        elif button == Qt.MouseButton.RightButton:
            self._press_right(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Hand a movement to the tool, or move the plan."""
        if self.is_panning:
            super().mouseMoveEvent(event)
            return
        at = self._pointer(event)
        self.pointer_moved.emit(*at.place)
        self._hand.move(at)
        if self._tool == "select":
            self.plan.set_hovered(at.hit if self._hand.state.is_idle else None)
        self._show_cursor()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Hand a release to the tool, or let go of the plan."""
        if self.is_panning:
            self.end_pan()
        elif event.button() == Qt.MouseButton.LeftButton:
            self._hand.release(self._pointer(event))
        self._show_cursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Hand the second press of a double click to the tool."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._hand.double(self._pointer(event))
        else:
            self.mousePressEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Show nothing under a pointer that is elsewhere."""
        if self._hand.state.is_idle:
            self._desk.preview()
            self.plan.set_hovered(None)
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hand a key to the tool."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._is_space_down = True
            self._show_cursor()
            return
        key = key_of(event)
        if key is None:
            event.ignore()
            return
        was_idle = self._hand.state.is_idle
        self._hand.key(key, self._pointer_at(self._last, held_of(event.modifiers())))
        if key.name == "escape" and was_idle and self._tool != "select":
            self.set_tool("select")
        self._show_cursor()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the space bar."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._is_space_down = False
            self._show_cursor()
        super().keyReleaseEvent(event)

    def event(self, event: QEvent) -> bool:
        """Keep the keys of a gesture from the menus' shortcuts."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(
            event, QKeyEvent
        ):
            key = key_of(event)
            if is_wanted(self._hand.state, key, self._desk.typed):
                event.accept()
                return True
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leave a drag whose release may never come; drawing by clicks goes on."""
        self._is_space_down = False
        self.end_pan()
        if self._hand.state.holds_button:
            self._hand.cancel()
        super().focusOutEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Leave what is under way when the window closes."""
        self._hand.cancel()
        super().hideEvent(event)

    # What the session tells

    def _connect(self) -> None:
        session = self._session
        session.layout_replaced.connect(self._on_replaced)
        session.layout_changed.connect(self._on_changed)
        session.study_ready.connect(lambda _: self._show_heat())
        session.selection_changed.connect(self._on_selected)
        session.probe_changed.connect(self._show_probe)
        self._pictures.ready.connect(self.plan.set_picture)

    def _on_replaced(self) -> None:
        layout = self._session.layout
        self._hand.cancel()
        self._snapper = Snapper(layout)
        self.lengths = layout.settings.lengths
        self.plan.rebuild(layout)
        self.plan.settle(self.viewport().size())
        self._read_picture()
        self._on_selected()
        self._show_probe()
        self._show_heat()
        self.fit()

    def _on_changed(self, change: Change) -> None:
        self._snapper.forget()
        self.lengths = self._session.layout.settings.lengths
        self.plan.follow(change)
        self._read_picture()
        self.place_labels_soon()
        self._heat.place_flag(self._session.layout)
        self._show_probe()
        self._show_handles()
        if not self._desk.is_committing and not self._hand.state.is_idle:
            self._hand.cancel()

    def _on_selected(self) -> None:
        self.plan.set_selection(self._session.selection)
        self._show_handles()

    def _read_picture(self) -> None:
        picture = self.plan.unread_picture
        if picture is not None:
            self._pictures.read(picture, self.look.theme.paper)

    def _show_heat(self) -> None:
        self._heat.show(self._session.result)
        self._heat.place_flag(self._session.layout)
        self.place_labels_soon()
        self.legend_changed.emit(self._heat.legend(self._session.layout))

    def _show_probe(self) -> None:
        place, probe = self._session.probe_place, self._session.probe
        at = place_xy(self._session.layout, place) if place is not None else None
        word = ""
        if probe is not None:
            word = show_volts(probe.volts_v) if probe.fed else "not fed"
        self._pin.stand(at, word)
        self.place_labels_soon()

    def _show_handles(self) -> None:
        shown = self._tool == "select"
        chosen = self._session.selection if shown else frozenset()
        self._handles.show_handles(handles_of(self._session.layout, chosen))

    # The pointer

    def _press_right(self, event: QMouseEvent) -> None:
        at = self._pointer(event)
        if not self._hand.state.is_idle:
            self._hand.menu(at)
            return
        hit = self.plan.hit(at.x_mm, at.y_mm)
        if hit is not None and hit not in self._session.selection:
            self._session.select((hit,))
        self.menu_asked.emit(event.globalPosition().toPoint())

    def _pointer(self, event: QMouseEvent) -> Pointer:
        self._last = self.mapToScene(event.position().toPoint())
        return self._pointer_at(self._last, held_of(event.modifiers()))

    def _pointer_at(self, place: QPointF | None, held: Held) -> Pointer:
        if place is None:
            place = self.mapToScene(self.viewport().rect().center())
        x, y = place.x(), place.y()
        loose = held.ctrl or not self._is_snapping
        wish = self._hand.state.wish
        snap: Snap = self._snapper.snap(
            (x, y), wish, self.look.mm_per_px, loose=loose, square=held.shift
        )
        hit = self.plan.hit(x, y) if self._tool == "select" else None
        return Pointer(
            x,
            y,
            snap,
            hit,
            held,
            self.look.mm_per_px,
            loose=loose,
            mirrored=self.look.underside,
        )

    def _show_cursor(self) -> None:
        if self.is_panning:
            return
        shape = CURSORS[self._hand.state.cursor]
        if self._is_space_down:
            shape = Qt.CursorShape.OpenHandCursor
        self.viewport().setCursor(shape)
