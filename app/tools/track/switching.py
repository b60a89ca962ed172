"""Hovering over a run -press-> Pressing -release-> commit -> Hovering.

F, Z and C change what hovers, typed figures its shape.
"""

from dataclasses import dataclass, replace

from app.tools.desk import Desk
from app.tools.marks import Ghost, Spot
from app.tools.pointer import Key, Pointer
from app.tools.snapping.wish import Wish
from app.tools.state import State
from app.tools.track.choosing import Choosing
from app.tools.typed import read_branching
from core.errors import EditError
from core.layout.branching import Branching, usual_branching
from core.layout.change import Change
from core.layout.edits.sides import other_side
from core.layout.edits.turnout import Kind, Wanted, lay_turnout
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import OnRun, RunEnd, Side, TrackRun, Turnout
from core.materials.scales import gauge_m
from core.units.length import show_length
from core.units.si import Metre

KINDS: tuple[Kind, ...] = ("plain", "wye", "three-way", "staggered", "curved")

_WORDS: dict[Kind, str] = {
    "plain": "turnout",
    "wye": "wye",
    "three-way": "three-way turnout",
    "staggered": "three-way turnout, staggered",
    "curved": "curved turnout",
}
_HINT = (
    "Click on a track: {word}. F: other hand. Z: opens the other way. C: next kind. "
    "Type 1:6, 10 deg or a radius."
)
_HINT_TYPING = (
    "1:6 is a crossing one in six, 10 deg its angle, 600 mm the leg's radius. Enter: "
    "keep it. Click: place it."
)


@dataclass(frozen=True, slots=True)
class Choice:
    """What hovers under the pointer.

    Attributes
    ----------
    kind, hand : str
        As of `Wanted`.
    turned : bool
        Whether it opens against the way that comes first: that of the run, or out
        of a free end.
    shape : Branching or None
        Its shape; None: what is usual in the scale.
    """

    kind: Kind = "plain"
    hand: Side = "left"
    turned: bool = False
    shape: Branching | None = None

    def after(self, key: Key) -> "Choice | None":
        """Return the choice that a letter makes of this one."""
        if key.name != "text":
            return None
        match key.text.lower():
            case "f":
                return replace(self, hand=other_side(self.hand))
            case "z":
                return replace(self, turned=not self.turned)
            case "c":
                step = -1 if key.text.isupper() else 1
                index = (KINDS.index(self.kind) + step) % len(KINDS)
                return replace(self, kind=KINDS[index])
            case _:
                return None


class Hovering(Choosing[Choice]):
    """A turnout follows the pointer along the track."""

    keys = "fFzZcC"

    def __init__(
        self, desk: Desk, choice: Choice | None = None, typed: str = ""
    ) -> None:
        super().__init__(desk, choice or Choice(), typed)
        word = _WORDS[self._choice.kind]
        self.hint = _HINT_TYPING if typed else _HINT.format(word=word)

    @property
    def wish(self) -> Wish:
        """Track, and its free ends."""
        return Wish(kinds=frozenset(("end", "run")))

    def move(self, at: Pointer) -> State:
        """Show the turnout that a click would place, or why there is none."""
        _show(self, at, self._now())
        return self

    def press(self, at: Pointer) -> State:
        """Hold it there until the button is let go."""
        pressing = Pressing(self.desk, self._now())
        pressing.move(at)
        return pressing

    def _with(self, choice: Choice, typed: str = "") -> State:
        return Hovering(self.desk, choice, typed)

    def _now(self) -> Choice:
        """Return the choice with what is typed, once that is a shape."""
        settings = self.desk.layout.settings
        gauge = 1000.0 * gauge_m(settings.scale)
        shape = read_branching(self._typed, settings.lengths, gauge)
        return self._choice if shape is None else replace(self._choice, shape=shape)


class Pressing(State):
    """The button is down; where it is let go the turnout is placed."""

    hint = "Let go to place it. Esc: leave it."
    holds_button = True

    def __init__(self, desk: Desk, choice: Choice) -> None:
        super().__init__(desk)
        self._choice = choice

    @property
    def wish(self) -> Wish:
        """Track, and its free ends."""
        return Wish(kinds=frozenset(("end", "run")))

    def idle(self) -> State:
        """Go back to hovering."""
        return Hovering(self.desk, self._choice)

    def move(self, at: Pointer) -> State:
        """Show it where it would be."""
        _show(self, at, self._choice)
        return self

    def release(self, at: Pointer) -> State:
        """Place it, ready to be drawn on from its leg."""
        change = _laid(self.desk.layout, at, self._choice)
        after = self.cancel()
        if change is not None:
            self.desk.commit(change)
            made = change.after.values()
            self.desk.select(p.id for p in made if isinstance(p, Turnout))
        return after


def _show(state: State, at: Pointer, choice: Choice) -> None:
    layout = state.desk.layout
    try:
        change = _laid(layout, at, choice)
    except EditError as error:
        state.desk.preview(Spot(*at.place, str(error), "refused"))
        state.desk.measure("")
        return
    if change is None:
        state.desk.measure("")
        state.desk.preview()
        return
    state.desk.measure(_measured(layout, change, choice))
    state.show(at, Ghost(change))


def _laid(layout: Layout, at: Pointer, choice: Choice) -> Change | None:
    """Return what a click places, or None off the track."""
    on = at.snap.on
    match on:
        case RunEnd():
            length = run_path(layout.need(on.run, TrackRun)).length_m
            outward = on.end == "end"
            on = OnRun(run=on.run, position_m=length if outward else 0.0)
        case OnRun():
            outward = True
        case _:
            return None
    wanted = Wanted(
        choice.kind, choice.hand, outward != choice.turned, _shape(layout, choice)
    )
    return lay_turnout(layout, on, wanted)


def _shape(layout: Layout, choice: Choice) -> Branching:
    if choice.shape is not None:
        return choice.shape
    scale = layout.settings.scale
    return usual_branching(scale, 1000.0 * gauge_m(scale))


def _measured(layout: Layout, change: Change, choice: Choice) -> str:
    """Return what is placed, such as "left-hand turnout, 9.5° (1:6.0), …"."""
    lengths, shape = layout.settings.lengths, _shape(layout, choice)
    made = next(p for p in change.after.values() if isinstance(p, Turnout))
    hand = f"{made.hand}-hand " if choice.kind in ("plain", "curved") else ""
    angle = f"{shape.angle_deg:.1f}° (1:{shape.number:.1f}), "
    if choice.kind == "curved":
        angle = ""
    radius = show_length(Metre(shape.radius_mm / 1000.0), lengths)
    lead = show_length(Metre(made.lead_m), lengths)
    return f"{hand}{_WORDS[choice.kind]} · {angle}radius {radius} · toe to frog {lead}"
