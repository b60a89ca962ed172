"""Starting -press-> Pressing -release-> Drawing -click-> Drawing -enter-> commit."""

from app.tools.desk import Desk
from app.tools.marks import Ghost, Mark, Spot, Stroke
from app.tools.pointer import Key, OnPit, Pointer
from app.tools.snapping.wish import Wish
from app.tools.state import State
from app.tools.steps import added as ids_added
from app.tools.track.aim import describe_piece
from app.tools.track.build import build_run
from app.tools.track.draft import draft, drawn_length_mm
from app.tools.track.trail import Added, Begin, Trail
from app.tools.typed import retype
from core.layout.geometry import Pose
from core.layout.parts import OnRun, RunEnd
from core.units.length import show_length
from core.units.si import Metre

TRACK_WISH = Wish(kinds=frozenset(("end", "pit", "run")), grid=True)
"""Ends and sides of track pull, and the edges of pits; elsewhere the grid."""


class Starting(State):
    """No track is being drawn; a press begins one."""

    hint = (
        "Press where the track begins: on a free end to go on from it, on the side of "
        "a track for a turnout, at the edge of a pit for a stall, or anywhere."
    )
    is_idle = True

    @property
    def wish(self) -> Wish:
        """Where track may begin."""
        return TRACK_WISH

    def move(self, at: Pointer) -> State:
        """Show what it would begin at."""
        self.show(at)
        return self

    def press(self, at: Pointer) -> State:
        """Begin here."""
        snap = at.snap
        on = snap.on if isinstance(snap.on, RunEnd | OnRun) else None
        pose = Pose(snap.x_mm, snap.y_mm, snap.heading or 0.0)
        begin = Begin(pose, on, at_pit=isinstance(snap.on, OnPit))
        return Pressing(self.desk, at, Trail(begin))


class Pressing(State):
    """The button is down on the first point: a click, or a first piece by drag."""

    hint = "Let go, then click where the first piece ends; or drag it there."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer, trail: Trail) -> None:
        super().__init__(desk)
        self._pressed = pressed
        self._trail = trail

    @property
    def wish(self) -> Wish:
        """Where the first piece may end."""
        return Drawing(self.desk, self._trail).wish

    def idle(self) -> State:
        """Forget the first point."""
        return Starting(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the first piece once it is dragged."""
        if at.is_dragged_from(self._pressed):
            Drawing(self.desk, self._trail).move(at)
        return self

    def release(self, at: Pointer) -> State:
        """Go on drawing; a drag has drawn the first piece."""
        drawing = Drawing(self.desk, self._trail)
        if at.is_dragged_from(self._pressed):
            return drawing.press(at)
        return drawing


class Drawing(State):
    """Each click adds a piece; a meeting with other track ends the run."""

    takes_text = True
    keys = "rR"

    def __init__(self, desk: Desk, trail: Trail, typed: str = "") -> None:
        super().__init__(desk)
        self._trail = trail
        self._typed = typed
        self.hint = _HINT_TYPING if typed else _HINTS[bool(trail.clicks)]

    @property
    def wish(self) -> Wish:
        """Where the next piece may end; not on what is being lengthened."""
        on = self._trail.begin.on
        skip = frozenset((on.run,)) if isinstance(on, RunEnd) else frozenset()
        return Wish(kinds=TRACK_WISH.kinds, skip=skip)

    def idle(self) -> State:
        """Forget what was drawn."""
        return Starting(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the run with the piece that a click would add."""
        self._show(at, draft(self.desk.layout, self._trail, at, self._typed))
        return self

    def press(self, at: Pointer) -> State:
        """Add a piece; where it meets other track the run is finished."""
        return self._add(at, draft(self.desk.layout, self._trail, at, self._typed))

    def double(self, at: Pointer) -> State:  # noqa: ARG002
        """Finish; the first press of the two has added the last piece."""
        return self._finish(self._trail, None)

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Finish with what is there."""
        return self._finish(self._trail, None)

    def key(self, key: Key, at: Pointer) -> State:
        """Type a length, take a piece back, or finish."""
        if key.name == "enter":
            if not self._typed:
                return self._finish(self._trail, None)
            added = draft(self.desk.layout, self._trail, at, self._typed)
            return self if added is None else self._add(at, added)
        typed = retype(self._typed, key, arcs=True)
        if typed is not None:
            return self._go_on(at, self._trail, typed)
        if key.name == "backspace":
            if not self._trail.clicks:
                return self.cancel()
            return self._go_on(at, self._trail.less())
        return self

    def _add(self, at: Pointer, added: Added | None) -> State:
        if added is None:
            return self
        trail = self._trail.plus(added)
        if added.ending is not None:
            return self._finish(trail, added)
        return self._go_on(at, trail)

    def _go_on(self, at: Pointer, trail: Trail, typed: str = "") -> State:
        drawing = Drawing(self.desk, trail, typed)
        self.desk.typing(typed)
        return drawing.move(at)

    def _finish(self, trail: Trail, added: Added | None) -> State:
        after = self.cancel()
        if trail.clicks:
            ending = added.ending if added is not None else None
            change = build_run(self.desk.layout, trail, ending)
            self.desk.commit(change)
            self.desk.select(ids_added(change))
        return after

    def _show(self, at: Pointer, added: Added | None) -> None:
        lengths = self.desk.layout.settings.lengths
        trail = self._trail if added is None else self._trail.plus(added)
        marks: list[Mark] = []
        if trail.clicks:
            ending = added.ending if added is not None else None
            marks.append(Ghost(build_run(self.desk.layout, trail, ending)))
        begin, end = self._trail.pose, trail.pose
        marks.append(Spot(begin.x_mm, begin.y_mm, style="plain"))
        if added is None:
            marks.append(
                Stroke(((begin.x_mm, begin.y_mm), (at.x_mm, at.y_mm)), "guide")
            )
        else:
            marks.append(_end_spot(end, added))
            whole = Metre(drawn_length_mm(self._trail, added) / 1000.0)
            last = describe_piece(added.pieces[-1], lengths)
            self.desk.measure(f"{last} · whole run {show_length(whole, lengths)}")
        self.desk.preview(*marks)


_HINTS = {
    False: (
        "Click where the first piece ends, or type its length (2400) and press Enter. "
        "Esc: leave it."
    ),
    True: (
        "Click ahead: straight; aside: arc. Type 2400, or r600 30 (-30: other way). "
        "Enter: done. Backspace: take back. Esc: leave it."
    ),
}
_HINT_TYPING = "Enter: add this piece. Backspace: rub out. Esc: leave the run."


def _end_spot(end: Pose, added: Added) -> Spot:
    if added.refused:
        return Spot(end.x_mm, end.y_mm, added.refused, "refused")
    word = added.ending.word if added.ending is not None else ""
    return Spot(end.x_mm, end.y_mm, word, "snap" if word else "plain")
