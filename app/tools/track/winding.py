"""Hovering -press-> Pressing -drag or release-> commit -> Hovering.

A helix hangs on a free end of track, or stands where its middle is pressed.
"""

from dataclasses import dataclass, replace
from math import atan2, hypot, pi

from app.tools.desk import Desk
from app.tools.marks import Ghost, Mark, Spot
from app.tools.pointer import Key, Pointer
from app.tools.snapping.steps import round_step_mm, to_step
from app.tools.snapping.turns import PAGES
from app.tools.snapping.wish import Wish
from app.tools.state import State
from app.tools.steps import added
from app.tools.track.choosing import Choosing
from app.tools.typed import LEAST_RADIUS_MM, Helix, read_helix
from core.layout.change import Change
from core.layout.edits.helix import LEAST_TURNS, MOST_TURNS, add_helix
from core.layout.edits.sides import other_side
from core.layout.geometry import Pose, run_path
from core.layout.layout import Layout
from core.layout.parts import RunEnd, Side, TrackRun
from core.layout.queries import grade_of
from core.materials.scales import gauge_m
from core.units.length import show_length
from core.units.si import Metre

TURNS = 3.0
RADIUS_GAUGES, RISE_GAUGES = 30.0, 5.5
"""Usual radius and rise a turn (common practice, no source). [gauges]"""

_HINT = (
    "Click its middle, or a free end; drag its radius. PgUp, PgDn: turns. F: other "
    "way. Z: up or down. Type radius x turns x rise (460 x 6 x 65)."
)
_HINT_TYPING = "Radius x turns x rise a turn, as 460 x 6 x 65. Enter: keep it."


@dataclass(frozen=True, slots=True)
class Choice:
    """The helix that hovers; None: what is usual in the scale. [mm, 1, mm]"""

    radius_mm: float | None = None
    turns: float = TURNS
    rise_mm: float | None = None
    hand: Side = "left"
    goes_down: bool = False

    def typed(self, helix: Helix) -> "Choice":
        """Return the choice with what was typed; the rest stays."""
        return replace(
            self,
            radius_mm=helix.radius_mm,
            turns=self.turns if helix.turns is None else helix.turns,
            rise_mm=self.rise_mm if helix.rise_mm is None else helix.rise_mm,
        )

    def after(self, key: Key) -> "Choice | None":
        """Return the choice that a key makes of this one."""
        step = PAGES.get(key.name)
        if step is not None:
            turns = self.turns + step * (0.25 if key.held.shift else 1.0)
            return replace(self, turns=min(max(turns, LEAST_TURNS), MOST_TURNS))
        if key.name == "text" and key.text in "fF":
            return replace(self, hand=other_side(self.hand))
        if key.name == "text" and key.text in "zZ":
            return replace(self, goes_down=not self.goes_down)
        return None


class Hovering(Choosing[Choice]):
    """A helix follows the pointer."""

    keys = "fFzZ"

    def __init__(
        self, desk: Desk, choice: Choice | None = None, typed: str = ""
    ) -> None:
        super().__init__(desk, choice or Choice(), typed)
        self.hint = _HINT_TYPING if typed else _HINT

    @property
    def wish(self) -> Wish:
        """Free ends of track; elsewhere the grid."""
        return Wish(kinds=frozenset(("end",)), grid=True)

    def move(self, at: Pointer) -> State:
        """Show the helix that a click would place."""
        _show(self, at, _wound(self.desk.layout, at, self._now()))
        return self

    def press(self, at: Pointer) -> State:
        """Take its middle, or the end that it goes on from."""
        return Pressing(self.desk, at, self._now())

    def _with(self, choice: Choice, typed: str = "") -> State:
        return Hovering(self.desk, choice, typed)

    def _now(self) -> Choice:
        helix = read_helix(self._typed, self.desk.layout.settings.lengths)
        return self._choice if helix is None else self._choice.typed(helix)


class Pressing(State):
    """The button is down: a click, or a drag to where the helix begins."""

    hint = "Let go to place it, or drag to where it begins. Esc: leave it."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer, choice: Choice) -> None:
        super().__init__(desk)
        self._pressed = pressed
        self._choice = choice

    def idle(self) -> State:
        """Go back to hovering."""
        return Hovering(self.desk, self._choice)

    def move(self, at: Pointer) -> State:
        """Show it with the radius that the drag gives it."""
        _show(self, self._pressed, self._change(at))
        return self

    def release(self, at: Pointer) -> State:
        """Place it."""
        change = self._change(at)
        after = self.cancel()
        self.desk.commit(change)
        self.desk.select(i for i in added(change) if i.startswith("R"))
        return after

    def _change(self, at: Pointer) -> Change:
        layout, pressed = self.desk.layout, self._pressed
        is_end = isinstance(pressed.snap.on, RunEnd)
        if is_end or not at.is_dragged_from(pressed):
            return _wound(layout, pressed, self._choice)
        x, y = pressed.place
        radius = hypot(at.x_mm - x, at.y_mm - y)
        if not at.loose:
            step = round_step_mm(at.mm_per_px, layout.settings.lengths)
            radius = to_step(radius, step)
        choice = replace(self._choice, radius_mm=max(radius, LEAST_RADIUS_MM))
        angle = atan2(at.y_mm - y, at.x_mm - x)
        return _wound(layout, pressed, choice, angle)


def _wound(layout: Layout, at: Pointer, choice: Choice, angle: float = 0.0) -> Change:
    """Return the change that places a helix at a pointer. [rad]"""
    gauge = 1000.0 * gauge_m(layout.settings.scale)
    radius = choice.radius_mm or to_step(RADIUS_GAUGES * gauge, 10.0)
    rise = choice.rise_mm
    if rise is None:
        rise = to_step(RISE_GAUGES * gauge, 5.0)
    rise = -rise if choice.goes_down else rise
    on = at.snap.on
    start: RunEnd | Pose
    if isinstance(on, RunEnd):
        start = on
    else:
        sign = 1.0 if choice.hand == "left" else -1.0
        edge = Pose(*at.place, angle - 0.5 * pi).left(radius)
        start = Pose(*edge, angle + sign * 0.5 * pi)
    return add_helix(layout, start, radius, choice.turns, rise, hand=choice.hand)


def _show(state: State, at: Pointer, change: Change) -> None:
    marks: list[Mark] = [Ghost(change), Spot(*at.place, at.snap.word, "plain")]
    run = next(p for p in change.after.values() if isinstance(p, TrackRun))
    lengths = state.desk.layout.settings.lengths

    def length(mm: float) -> str:
        return show_length(Metre(mm / 1000.0), lengths)

    whole = run_path(run).length_mm
    arc = run.pieces[0]
    turns = abs(getattr(arc, "sweep_deg", 0.0)) / 360.0
    climb = (run.level_end_mm or run.level_mm) - run.level_mm
    way = "down" if climb < 0 else "up"
    state.desk.measure(
        f"helix, {turns:.3g} turns of radius {length(getattr(arc, 'radius_mm', 0.0))}"
        f" · {length(whole)} · {way} {length(abs(climb))}, {abs(grade_of(run)):.1%}"
    )
    state.desk.preview(*marks)
