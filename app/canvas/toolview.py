"""The view with a tool in the hand: events become gestures."""

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
)

from app.canvas.desk import CanvasDesk, Sayings
from app.canvas.look import Look
from app.canvas.over.preview import Preview
from app.canvas.pointing import CURSORS, held_of, is_wanted, key_of
from app.canvas.view import PlanView
from app.session.session import Session
from app.tools.catalogue import TOOLS
from app.tools.pointer import Held, Key, Pointer
from app.tools.snapping.snapper import Snapper
from app.tools.state import Hand

_BUTTON = Qt.MouseButton

TOUCHING = ("select", "probe")
"""The tools that do something with the part under the pointer."""


class ToolView(PlanView):
    """Hands what mouse and keyboard do to a tool.

    Signals
    -------
    tool_changed(str)
        Another tool was taken up.
    gesture_begun()
        A button was pressed with a tool, or another tool was taken up.
    hint_changed(str), typing_changed(str), measure_changed(str)
        What can be done now; what is typed; lengths of what is being drawn.
    pointer_moved(float, float)
        Where the pointer is in plan, as it is pulled. [mm]
    menu_asked(QPoint)
        The right button was pressed at rest, over what is now selected; where
        on the screen.
    """

    tool_changed = Signal(str)
    gesture_begun = Signal()
    hint_changed = Signal(str)
    typing_changed = Signal(str)
    measure_changed = Signal(str)
    pointer_moved = Signal(float, float)
    menu_asked = Signal(QPoint)

    def __init__(self, session: Session, look: Look) -> None:
        super().__init__(look)
        self.session = session
        self._preview = Preview(look)
        self.plan.addItem(self._preview)
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

    @property
    def tool(self) -> str:
        """The tool in the hand."""
        return self._tool

    @property
    def hint(self) -> str:
        """What can be done now, in one line."""
        return self._hand.state.hint

    def set_tool(self, tool_id: str) -> None:
        """Take up a tool; what is under way with the other is left."""
        self._hand.cancel()
        self.gesture_begun.emit()
        self._tool = tool_id
        self._hand = Hand(self._desk, TOOLS[tool_id].begin)
        self.plan.set_hovered(None)
        self._show_cursor()
        self.tool_changed.emit(tool_id)

    def set_snapping(self, snapping: bool) -> None:  # noqa: FBT001
        """Let grid and round angles pull, or not."""
        self._is_snapping = snapping

    def leave_gesture(self) -> None:
        """Leave what is under way, if anything is."""
        if not self._hand.state.is_idle:
            self._hand.cancel()

    # Qt overrides

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Hand a press to the tool, or take hold of the plan."""
        button = event.button()
        if button == _BUTTON.MiddleButton or (
            button == _BUTTON.LeftButton and self._is_space_down
        ):
            self.begin_pan(event.position().toPoint())
        elif button == _BUTTON.LeftButton:
            self.gesture_begun.emit()
            self._hand.press(self._pointer(event))
            self._show_cursor()
        elif button == _BUTTON.RightButton:
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
        elif event.button() == _BUTTON.LeftButton:
            self._hand.release(self._pointer(event))
        self._show_cursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Hand the second press of a double click to the tool."""
        if event.button() == _BUTTON.LeftButton and not self._is_space_down:
            self.gesture_begun.emit()
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
        key = self._key_of(event)
        if event.key() == Qt.Key.Key_Space and not self._desk.typed:
            self._is_space_down = True
        elif key is None:
            event.ignore()
        else:
            was_idle = self._hand.state.is_idle
            self._hand.key(key, self._pointer_at(self._last, key.held))
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
            key = self._key_of(event)
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
        """Leave what is under way when the window closes, not when it is made small."""
        if not event.spontaneous():
            self.leave_gesture()
        super().hideEvent(event)

    # The pointer

    def _key_of(self, event: QKeyEvent) -> Key | None:
        """Return the key for the tool; while drawing, undo takes a piece back."""
        state = self._hand.state
        is_drawing = state.takes_text and not state.is_idle
        if is_drawing and event.matches(QKeySequence.StandardKey.Undo):
            return Key("backspace")
        return key_of(event)

    def _press_right(self, event: QMouseEvent) -> None:
        at = self._pointer(event)
        if not self._hand.state.is_idle:
            self._hand.menu(at)
            return
        hit = self.plan.hit(at.x_mm, at.y_mm)
        if hit is not None and hit not in self.session.selection:
            self.session.select((hit,))
        self.menu_asked.emit(event.globalPosition().toPoint())

    def _pointer(self, event: QMouseEvent) -> Pointer:
        self._last = self.mapToScene(event.position().toPoint())
        return self._pointer_at(self._last, held_of(event.modifiers()))

    def _pointer_at(self, place: QPointF | None, held: Held) -> Pointer:
        if place is None:
            place = self.mapToScene(self.viewport().rect().center())
        x, y = place.x(), place.y()
        unit = self.look.mm_per_px
        loose = held.ctrl or not self._is_snapping
        snap = self._snapper.snap(
            (x, y), self._hand.state.wish, unit, loose=loose, square=held.shift
        )
        hit = self.plan.hit(x, y) if self._tool in TOUCHING else None
        mirrored = self.look.underside
        return Pointer(x, y, snap, hit, held, unit, loose=loose, mirrored=mirrored)

    def _show_cursor(self) -> None:
        if self.is_panning:
            return
        shape = CURSORS[self._hand.state.cursor]
        if self._is_space_down:
            shape = Qt.CursorShape.OpenHandCursor
        self.viewport().setCursor(shape)
