"""Waiting -click-> Measuring -click-> Typing -enter-> commit -> Waiting."""

from math import hypot

from msgspec.structs import replace

from app.tools.desk import Desk
from app.tools.marks import Mark, Spot, Stroke
from app.tools.pointer import Key, Pointer
from app.tools.state import State
from app.tools.typed import read_length, retype
from core.layout.change import Change
from core.layout.edits.add import set_backdrop
from core.layout.layout import Layout
from core.layout.parts import Backdrop

LEAST_PX = 4.0
"""Two points closer than this in the picture give no scale. [px of the picture]"""

_XY = tuple[float, float]


class Waiting(State):
    """No point is marked yet."""

    is_idle = True

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        has_picture = desk.layout.backdrop is not None
        self.hint = _HINT if has_picture else _HINT_EMPTY

    def move(self, at: Pointer) -> State:  # noqa: ARG002
        """Say what can be done, once there is a picture."""
        fresh = Waiting(self.desk)
        return self if fresh.hint == self.hint else fresh

    def press(self, at: Pointer) -> State:
        """Mark the first point."""
        if self.desk.layout.backdrop is None:
            self.desk.refuse(_HINT_EMPTY)
            return Waiting(self.desk)
        return Measuring(self.desk, (at.x_mm, at.y_mm)).move(at)


class Measuring(State):
    """One point is marked; a line goes from it to the pointer."""

    hint = "Click on a second point whose distance you know. Esc: leave it."

    def __init__(self, desk: Desk, first: _XY) -> None:
        super().__init__(desk)
        self._first = first

    def idle(self) -> State:
        """Forget the point."""
        return Waiting(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the line."""
        self.desk.preview(*_ruler(self._first, (at.x_mm, at.y_mm)))
        return self

    def press(self, at: Pointer) -> State:
        """Mark the second point."""
        backdrop = self.desk.layout.backdrop
        away = at.distance_to(*self._first)
        if backdrop is None or away < LEAST_PX * backdrop.mm_per_px:
            return self
        return Typing(self.desk, self._first, (at.x_mm, at.y_mm), "").shown()

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave it."""
        return self.cancel()


class Typing(State):
    """Both points are marked; the distance between them is typed."""

    hint = "Type the real distance between the two points, then Enter. Esc: leave it."
    takes_text = True

    def __init__(self, desk: Desk, first: _XY, second: _XY, typed: str) -> None:
        super().__init__(desk)
        self._first = first
        self._second = second
        self._typed = typed

    def idle(self) -> State:
        """Forget the points."""
        return Waiting(self.desk)

    def shown(self) -> State:
        """Show the line and what is typed."""
        self.desk.preview(*_ruler(self._first, self._second))
        self.desk.typing(self._typed)
        return self

    def key(self, key: Key, at: Pointer) -> State:  # noqa: ARG002
        """Type, or set the scale."""
        if key.name == "enter":
            return self._finish()
        typed = retype(self._typed, key)
        if typed is None:
            return self
        return Typing(self.desk, self._first, self._second, typed).shown()

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave it."""
        return self.cancel()

    def _finish(self) -> State:
        length = read_length(self._typed, self.desk.layout.settings.lengths)
        if length is None or self.desk.layout.backdrop is None:
            return self
        change = scale_backdrop(
            self.desk.layout, self._first, self._second, length.length_mm
        )
        after = self.cancel()
        self.desk.commit(change)
        return after


def scale_backdrop(layout: Layout, first: _XY, second: _XY, length_mm: float) -> Change:
    """Return the change that makes two points of the picture so far apart.

    The first point stays where it is.
    """
    backdrop = layout.backdrop
    assert backdrop is not None, "there is a picture to scale"
    times = length_mm / hypot(second[0] - first[0], second[1] - first[1])
    scaled: Backdrop = replace(
        backdrop,
        mm_per_px=backdrop.mm_per_px * times,
        x_mm=first[0] + (backdrop.x_mm - first[0]) * times,
        y_mm=first[1] + (backdrop.y_mm - first[1]) * times,
    )
    change = set_backdrop(layout, scaled)
    return Change("Set the scale of the picture", change.before, change.after)


def _ruler(first: _XY, second: _XY) -> tuple[Mark, ...]:
    return (
        Stroke((first, second), "measure"),
        Spot(*first, style="plain"),
        Spot(*second, style="plain"),
    )


_HINT = "Click on a point of the picture whose distance to another you know."
_HINT_EMPTY = "There is no picture yet: load one first, then give it its scale here."
