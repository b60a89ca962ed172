"""A press while selecting: it becomes a click, or a drag of what was pressed."""

from app.tools.pointer import Pointer
from app.tools.selecting.boxing import Boxing
from app.tools.selecting.handles import Handle, handle_wish
from app.tools.selecting.held import Held
from app.tools.selecting.moving import Moving
from app.tools.selecting.pulling import Pulling, Sliding, slides
from app.tools.snapping.wish import Wish
from app.tools.state import State
from core.layout.ids import PartId


class PressingPart(Held):
    """The button is down on a part."""

    hint = "Let go to select it, or drag to move it."

    def __init__(self, resting: State, pressed: Pointer, part: PartId) -> None:
        super().__init__(resting)
        self._pressed = pressed
        self._part = part

    def move(self, at: Pointer) -> State:
        """Begin to move it once it is dragged."""
        if not at.is_dragged_from(self._pressed):
            return self
        chosen = self.desk.selection
        ids = chosen if self._part in chosen else frozenset((self._part,))
        if ids == {self._part} and slides(self.desk.layout, self._part):
            return Sliding(self.resting, self._part).move(at)
        return Moving(self.resting, self._pressed, ids).move(at)

    def release(self, at: Pointer) -> State:
        """Select it; with Shift or Ctrl, add it or take it out."""
        if at.held.shift or at.held.ctrl:
            self.desk.select(self.desk.selection ^ {self._part})
        else:
            self.desk.select((self._part,))
        return self.cancel()


class PressingHandle(Held):
    """The button is down on a handle of the selected part."""

    hint = "Drag it to where it belongs."
    cursor = "point"

    def __init__(self, resting: State, pressed: Pointer, handle: Handle) -> None:
        super().__init__(resting)
        self._pressed = pressed
        self._handle = handle

    @property
    def wish(self) -> Wish:
        """What this handle may be pulled to."""
        return handle_wish(self.desk.layout, self._handle)

    def move(self, at: Pointer) -> State:
        """Pull it once it is dragged."""
        if at.is_dragged_from(self._pressed):
            return Pulling(self.resting, self._handle).move(at)
        return self

    def release(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave all as it is."""
        return self.cancel()


class PressingGround(Held):
    """The button is down where nothing is."""

    hint = "Let go to select nothing, or drag a box round what you want."

    def __init__(self, resting: State, pressed: Pointer) -> None:
        super().__init__(resting)
        self._pressed = pressed

    def move(self, at: Pointer) -> State:
        """Draw a box once it is dragged."""
        if at.is_dragged_from(self._pressed):
            return Boxing(self.resting, self._pressed).move(at)
        return self

    def release(self, at: Pointer) -> State:
        """Select nothing, unless Shift or Ctrl keeps what is selected."""
        if not (at.held.shift or at.held.ctrl):
            self.desk.select(())
        return self.cancel()
