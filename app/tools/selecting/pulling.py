"""Pulling or Sliding -release-> commit -> Resting."""

from app.tools.marks import Ghost, Spot
from app.tools.pointer import Key, Pointer
from app.tools.selecting.handles import Handle, handle_wish, pull_handle, put_on
from app.tools.selecting.held import Held
from app.tools.snapping.turns import on_turn, stepped, turn_of
from app.tools.snapping.wish import TRACK, Wish
from app.tools.state import State
from core.errors import EditError
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, Load, OnRun, TrackRun, Turnout

Riding = Drop | Gap | Load | Turnout
"""Things that sit on track and are dragged along it."""


class Pulling(Held):
    """A handle follows the pointer."""

    hint = "Let go where it belongs. Esc: leave it as it was."
    cursor = "point"

    def __init__(self, resting: State, handle: Handle) -> None:
        super().__init__(resting)
        self._handle = handle

    @property
    def wish(self) -> Wish:
        """What this handle may be pulled to."""
        return handle_wish(self.desk.layout, self._handle)

    def move(self, at: Pointer) -> State:
        """Show the part as it would be."""
        change = pull_handle(self.desk.layout, self._handle, at)
        self.show(at, *(() if change is None else (Ghost(change),)))
        return self

    def release(self, at: Pointer) -> State:
        """Make it so; where it cannot be, leave all as it was."""
        return _commit(self, pull_handle(self.desk.layout, self._handle, at))


class Sliding(Held):
    """A drop, gap or train is dragged along track, also onto another.

    A turnout stays on its run and takes its leg along.
    """

    hint = "Let go where it belongs on a track. Esc: leave it where it was."
    cursor = "move"

    def __init__(self, resting: State, part: PartId, turn: int | None = None) -> None:
        super().__init__(resting)
        self._part = part
        self._turn = turn_of(self.desk.layout, part) if turn is None else turn

    def key(self, key: Key, at: Pointer) -> State:
        """Step to another turn of a helix."""
        turn = stepped(self.desk.layout, at, self._turn, key)
        if turn is None:
            return self
        return Sliding(self.resting, self._part, turn).move(at)

    @property
    def wish(self) -> Wish:
        """Places on track, and rail joints; for a turnout those of its own run."""
        turnout = self.desk.layout.get(self._part, Turnout)
        if turnout is None:
            return Wish(kinds=TRACK | {"joint"})
        runs = self.desk.layout.of_kind(TrackRun)
        others = frozenset(run.id for run in runs if run.id != turnout.on.run)
        return Wish(kinds=TRACK, skip=others)

    def move(self, at: Pointer) -> State:
        """Show it where it would be."""
        try:
            change = self._change(at)
        except EditError as error:
            self.desk.preview(Spot(*at.place, str(error), "refused"))
            return self
        there = on_turn(self.desk.layout, at, self._turn)
        self.show(there, *(() if change is None else (Ghost(change),)))
        return self

    def release(self, at: Pointer) -> State:
        """Put it there; off the track, leave it where it was."""
        return _commit(self, self._change(at))

    def _change(self, at: Pointer) -> Change | None:
        on = on_turn(self.desk.layout, at, self._turn).snap.on
        return (
            put_on(self.desk.layout, self._part, on) if isinstance(on, OnRun) else None
        )


def slides(layout: Layout, part: PartId) -> bool:
    """Return whether a part is dragged along track."""
    return isinstance(layout.parts.get(part), Riding)


def _commit(state: Held, change: Change | None) -> State:
    after = state.cancel()
    if change is not None:
        state.desk.commit(change)
    return after
