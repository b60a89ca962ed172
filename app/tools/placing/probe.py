"""Hovering -press on track-> Tracing -release-> Hovering.

A double click on a turnout or crossing throws it, one by a stall brings the bridge
there: that is a change, and one step. The probe goes back to where it was before
the first of the two clicks.
"""

from app.tools.desk import Desk
from app.tools.marks import Spot
from app.tools.pointer import Key, Pointer
from app.tools.selecting.turning import turn_there
from app.tools.snapping.turns import on_turn, stepped
from app.tools.snapping.wish import TRACK, Wish
from app.tools.state import State
from core.layout.parts import OnRun
from core.layout.queries import can_be_thrown


class Hovering(State):
    """The probe may be put anywhere on track."""

    hint = (
        "Click any point of track to read it; drag along the track to compare. "
        "Double-click a turnout or crossing to throw it, a stall to turn the bridge."
    )
    cursor = "point"
    is_idle = True

    @property
    def wish(self) -> Wish:
        """Places on track."""
        return Wish(kinds=TRACK)

    def __init__(self, desk: Desk, turn: int = 0, before: OnRun | None = None) -> None:
        super().__init__(desk)
        self._turn, self._before = turn, before

    def move(self, at: Pointer) -> State:
        """Show where it would be put."""
        self.show(on_turn(self.desk.layout, at, self._turn))
        return self

    def key(self, key: Key, at: Pointer) -> State:
        """Step to another turn of a helix."""
        turn = stepped(self.desk.layout, at, self._turn, key)
        return (
            self if turn is None else Hovering(self.desk, turn, self._before).move(at)
        )

    def press(self, at: Pointer) -> State:
        """Put it here; off the track, take it away."""
        on = on_turn(self.desk.layout, at, self._turn).snap.on
        before = self.desk.probe_place
        self.desk.probe(on if isinstance(on, OnRun) else None)
        return Tracing(self.desk, self._turn, before)

    def double(self, at: Pointer) -> State:
        """Throw what is under the pointer, or turn the bridge to that stall."""
        if at.hit is not None and can_be_thrown(self.desk.layout, at.hit):
            self.desk.probe(self._before)
            self.desk.throw(at.hit)
            return self
        turned = turn_there(self.desk.layout, at)
        if turned is not None:
            self.desk.probe(self._before)
            self.desk.commit(turned)
            return self
        return self.press(at)


class Tracing(State):
    """The button is down: the probe follows the pointer along the track."""

    hint = "Drag along the track to compare; let go to leave the probe there."
    cursor = "point"
    holds_button = True

    @property
    def wish(self) -> Wish:
        """Places on track."""
        return Wish(kinds=TRACK)

    def __init__(self, desk: Desk, turn: int = 0, before: OnRun | None = None) -> None:
        super().__init__(desk)
        self._turn, self._before = turn, before

    def idle(self) -> State:
        """Leave the probe where it is."""
        return Hovering(self.desk, self._turn, self._before)

    def move(self, at: Pointer) -> State:
        """Read the place under the pointer."""
        at = on_turn(self.desk.layout, at, self._turn)
        if isinstance(at.snap.on, OnRun):
            self.desk.probe(at.snap.on)
        self.desk.preview(Spot(at.snap.x_mm, at.snap.y_mm, at.snap.word))
        return self

    def release(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave it there."""
        return self.cancel()
