"""A state of a gesture, and the hand that goes from one to the next."""

from collections.abc import Callable
from typing import Literal

from app.tools.desk import Desk
from app.tools.marks import Mark, Spot
from app.tools.pointer import Key, Pointer
from app.tools.snapping.wish import NOTHING, Wish
from core.errors import EditError

Cursor = Literal["arrow", "cross", "point", "move", "closed", "refused"]


class State:
    """One moment of a gesture; each handler returns the next moment.

    Attributes
    ----------
    hint : str
        One line in a builder's words: what can be done now.
    cursor : str
        The pointer's shape.
    is_idle : bool
        Whether no gesture is under way.
    takes_text : bool
        Whether letters and digits are typed into it.
    keys : str
        Letters that it takes though nothing is being typed.
    holds_button : bool
        Whether a mouse button is down, so that losing the window ends it.
    """

    hint: str = ""
    cursor: Cursor = "cross"
    is_idle: bool = False
    takes_text: bool = False
    keys: str = ""
    holds_button: bool = False

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    @property
    def wish(self) -> Wish:
        """What the pointer should be pulled to."""
        return NOTHING

    def idle(self) -> "State":
        """Return the state that the tool rests in."""
        raise NotImplementedError

    def press(self, at: Pointer) -> "State":  # noqa: ARG002
        """Take a press of the left button."""
        return self

    def move(self, at: Pointer) -> "State":  # noqa: ARG002
        """Take a movement, with or without the button."""
        return self

    def release(self, at: Pointer) -> "State":  # noqa: ARG002
        """Take a release of the left button."""
        return self

    def double(self, at: Pointer) -> "State":
        """Take the second press of a double click."""
        return self.press(at)

    def menu(self, at: Pointer) -> "State":  # noqa: ARG002
        """Take a press of the right button."""
        return self

    def key(self, key: Key, at: Pointer) -> "State":  # noqa: ARG002
        """Take a key."""
        return self

    def cancel(self) -> "State":
        """End the gesture and leave nothing behind."""
        self.clear()
        return self if self.is_idle else self.idle()

    def clear(self) -> None:
        """Take away all that was shown."""
        self.desk.preview()
        self.desk.measure("")
        self.desk.typing("")

    def show(self, at: Pointer, *marks: Mark) -> None:
        """Show marks, and a ring where the pointer is pulled to a thing."""
        snap = at.snap
        if snap.word:
            marks = (*marks, Spot(snap.x_mm, snap.y_mm, snap.word))
        self.desk.preview(*marks)


class Hand:
    """Keeps the present state of one tool and passes events to it."""

    def __init__(self, desk: Desk, begin: Callable[[Desk], State]) -> None:
        self._desk = desk
        self._state = begin(desk)
        desk.hint(self._state.hint)

    @property
    def state(self) -> State:
        """The present state."""
        return self._state

    def press(self, at: Pointer) -> None:
        """Pass on a press of the left button."""
        self._go(lambda: self._state.press(at))

    def move(self, at: Pointer) -> None:
        """Pass on a movement."""
        self._go(lambda: self._state.move(at))

    def release(self, at: Pointer) -> None:
        """Pass on a release of the left button."""
        self._go(lambda: self._state.release(at))

    def double(self, at: Pointer) -> None:
        """Pass on the second press of a double click."""
        self._go(lambda: self._state.double(at))

    def menu(self, at: Pointer) -> None:
        """Pass on a press of the right button."""
        self._go(lambda: self._state.menu(at))

    def key(self, key: Key, at: Pointer) -> None:
        """Pass on a key; Escape always cancels."""
        if key.name == "escape":
            self.cancel()
        else:
            self._go(lambda: self._state.key(key, at))

    def cancel(self) -> None:
        """Cancel whatever is under way."""
        self._go(self._state.cancel)

    def _go(self, handle: Callable[[], State]) -> None:
        try:
            state = handle()
        except EditError as error:
            self._desk.refuse(error.sentence())
            state = self._state.cancel()
        if state is not self._state:
            self._state = state
            self._desk.hint(state.hint)
