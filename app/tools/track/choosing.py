"""A choice hovers under the pointer: keys change it, typed figures give its shape."""

from typing import Generic, Protocol, Self, TypeVar

from app.tools.desk import Desk
from app.tools.pointer import Key, Pointer
from app.tools.state import State
from app.tools.typed import retype


class Choice(Protocol):
    """What can hover."""

    def after(self, key: Key) -> Self | None:
        """Return the choice that a key makes of this one, if the key is for it."""


Chosen = TypeVar("Chosen", bound=Choice)


class Choosing(State, Generic[Chosen]):
    """A choice follows the pointer; nothing is placed yet."""

    takes_text = True

    def __init__(self, desk: Desk, choice: Chosen, typed: str = "") -> None:
        super().__init__(desk)
        self._choice = choice
        self._typed = typed
        self.is_idle = not typed

    def idle(self) -> State:
        """Forget what was typed."""
        return self._with(self._choice)

    def key(self, key: Key, at: Pointer) -> State:
        """Change the choice, or type its shape."""
        if key.name == "enter" and self._typed:
            return self._go_on(at, self._now(), "")
        choice = None if self._typed else self._choice.after(key)
        if choice is not None:
            return self._go_on(at, choice, "")
        typed = retype(self._typed, key)
        return self if typed is None else self._go_on(at, self._choice, typed)

    def _with(self, choice: Chosen, typed: str = "") -> State:
        """Return the state in which another choice hovers."""
        raise NotImplementedError

    def _now(self) -> Chosen:
        """Return the choice with what is typed, once that can be read."""
        raise NotImplementedError

    def _go_on(self, at: Pointer, choice: Chosen, typed: str) -> State:
        self.desk.typing(typed)
        return self._with(choice, typed).move(at)
