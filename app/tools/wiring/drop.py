"""Hovering -press on track-> Pressing -drag-> Pulling -release on bus-> commit."""

from app.tools.desk import Desk
from app.tools.marks import Ghost, Mark, Spot, Stroke
from app.tools.pointer import Key, Pointer, Snap
from app.tools.snapping.turns import on_turn, stepped
from app.tools.snapping.wish import POWER, TRACK, Wish
from app.tools.state import State
from app.tools.steps import added
from app.tools.wiring.attach import attachment_at, nearest_attachment
from core.layout.change import Change
from core.layout.edits.add import add_drop
from core.layout.layout import Layout
from core.layout.parts import Attachment, OnRun

_PULL = Wish(kinds=POWER)


class Hovering(State):
    """The next drop follows the pointer along the track."""

    hint = (
        "Click on a track: the drop finds the nearest bus or strip. Drag from the "
        "track, or Shift-click, to choose where it ends."
    )
    is_idle = True

    @property
    def wish(self) -> Wish:
        """Drops begin on track."""
        return Wish(kinds=TRACK)

    def __init__(self, desk: Desk, turn: int = 0) -> None:
        super().__init__(desk)
        self._turn = turn

    def key(self, key: Key, at: Pointer) -> State:
        """Step to another turn of a helix."""
        turn = stepped(self.desk.layout, at, self._turn, key)
        return self if turn is None else Hovering(self.desk, turn).move(at)

    def move(self, at: Pointer) -> State:
        """Show the drop that a click would add."""
        at = on_turn(self.desk.layout, at, self._turn)
        change = _drop_by_itself(self.desk.layout, at.snap)
        self.show(at, *(() if change is None else (Ghost(change),)))
        return self

    def press(self, at: Pointer) -> State:
        """Take hold of a place on track."""
        at = on_turn(self.desk.layout, at, self._turn)
        if isinstance(at.snap.on, OnRun):
            return Pressing(self.desk, at, at.snap.on)
        return self


class Pressing(State):
    """The button is down on a track: a click, or the beginning of a drag."""

    hint = "Let go for the nearest bus or strip, or drag to where the drop ends."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer, on: OnRun) -> None:
        super().__init__(desk)
        self._pressed = pressed
        self._on = on

    @property
    def wish(self) -> Wish:
        """What the drop may end at."""
        return _PULL

    def idle(self) -> State:
        """Let go of the track."""
        return Hovering(self.desk)

    def move(self, at: Pointer) -> State:
        """Pull the lead out once it is dragged."""
        if at.is_dragged_from(self._pressed):
            return Pulling(self.desk, self._pressed.snap, self._on).move(at)
        return self

    def release(self, at: Pointer) -> State:
        """Place the drop; with Shift, wait for a click on where it ends."""
        if at.held.shift:
            return Reaching(self.desk, self._pressed.snap, self._on).move(at)
        change = _drop_by_itself(self.desk.layout, self._pressed.snap)
        assert change is not None, "it was pressed on a track"
        return _place(self, change)


class Pulling(State):
    """The lead follows the pointer; letting go on something joins it there."""

    hint = "Let go on a bus, strip, breaker or booster. Esc: leave it."
    holds_button = True

    def __init__(self, desk: Desk, begun: Snap, on: OnRun) -> None:
        super().__init__(desk)
        self._begun = begun
        self._on = on

    @property
    def wish(self) -> Wish:
        """What the drop may end at."""
        return _PULL

    def idle(self) -> State:
        """Let go of the track."""
        return Hovering(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the lead."""
        _show_lead(self, self._begun, self._on, at)
        return self

    def release(self, at: Pointer) -> State:
        """Join it, or leave it where there is nothing to join it to."""
        return _join(self, self._on, at) or self.cancel()


class Reaching(State):
    """As pulling, without the button: a click on something joins the lead."""

    hint = "Click on the bus, strip, breaker or booster where it ends. Esc: leave it."

    def __init__(self, desk: Desk, begun: Snap, on: OnRun) -> None:
        super().__init__(desk)
        self._begun = begun
        self._on = on

    @property
    def wish(self) -> Wish:
        """What the drop may end at."""
        return _PULL

    def idle(self) -> State:
        """Let go of the track."""
        return Hovering(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the lead."""
        _show_lead(self, self._begun, self._on, at)
        return self

    def press(self, at: Pointer) -> State:
        """Join it; a click on nothing changes nothing."""
        return _join(self, self._on, at) or self

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave it."""
        return self.cancel()


def _drop_by_itself(layout: Layout, snap: Snap) -> Change | None:
    if not isinstance(snap.on, OnRun):
        return None
    to = nearest_attachment(layout, snap.x_mm, snap.y_mm)
    return _new_drop(layout, snap.on, to)


def _new_drop(layout: Layout, on: OnRun, to: Attachment | None) -> Change:
    return add_drop(layout, on, to=to)


def _show_lead(state: State, begun: Snap, on: OnRun, at: Pointer) -> None:
    to = attachment_at(at)
    marks: list[Mark] = [Spot(begun.x_mm, begun.y_mm, begun.word, "plain")]
    if to is None:
        marks.append(Stroke(((begun.x_mm, begun.y_mm), at.place), "lead"))
    else:
        marks.append(Ghost(_new_drop(state.desk.layout, on, to)))
    state.show(at, *marks)


def _join(state: State, on: OnRun, at: Pointer) -> State | None:
    to = attachment_at(at)
    if to is None:
        return None
    return _place(state, _new_drop(state.desk.layout, on, to))


def _place(state: State, change: Change) -> State:
    after = state.cancel()
    state.desk.commit(change)
    state.desk.select(added(change))
    return after
