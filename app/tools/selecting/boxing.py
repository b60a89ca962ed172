"""Boxing -release-> what lies in the box is selected -> Resting."""

from app.tools.marks import Frame, FrameStyle
from app.tools.pointer import Pointer
from app.tools.selecting.held import Held
from app.tools.state import State


class Boxing(Held):
    """A box follows the pointer: drawn leftwards it also takes what it touches."""

    hint = (
        "To the right: takes what lies inside. To the left: also what it touches. "
        "Shift: adds. Esc: leave it."
    )
    cursor = "cross"

    def __init__(self, resting: State, pressed: Pointer) -> None:
        super().__init__(resting)
        self._pressed = pressed

    def move(self, at: Pointer) -> State:
        """Show the box."""
        start = self._pressed
        style: FrameStyle = "touch" if self._touches(at) else "box"
        self.desk.preview(Frame(start.x_mm, start.y_mm, at.x_mm, at.y_mm, style))
        return self

    def release(self, at: Pointer) -> State:
        """Select what is in it."""
        start = self._pressed
        found = self.desk.parts_in(
            (start.x_mm, start.y_mm), (at.x_mm, at.y_mm), touch=self._touches(at)
        )
        if at.held.shift or at.held.ctrl:
            found |= self.desk.selection
        self.desk.select(found)
        return self.cancel()

    def _touches(self, at: Pointer) -> bool:
        return at.screen_x < self._pressed.screen_x
