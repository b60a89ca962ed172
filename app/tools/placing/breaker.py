"""Hovering -press-> Pressing -drag-> Feeding -release-> commit -> Hovering."""

from math import hypot

from app.tools.desk import Desk
from app.tools.marks import Ghost, Mark, Spot, Stroke
from app.tools.placing.recipes import point_of
from app.tools.pointer import Pointer
from app.tools.snapping.wish import POWER, Wish
from app.tools.state import State
from app.tools.wiring.attach import attachment_at
from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import Device, add_inline
from core.layout.edits.cut_in import cut_in
from core.layout.layout import Layout
from core.layout.parts import Attachment, Booster, Inline, Point, ToBus, ToPort

NEAR_MM = 400.0
"""A breaker placed this close to a booster is fed from it. [mm]"""


class Hovering(State):
    """A breaker follows the pointer."""

    hint = (
        "Click on a bus to put the breaker into it, or beside a booster to feed it. "
        "Drag from it to what feeds it. Shift: a lamp limiter."
    )
    is_idle = True

    @property
    def wish(self) -> Wish:
        """Breakers stand anywhere; a bus is cut for them."""
        return Wish(kinds=frozenset(("bus",)), grid=True)

    def move(self, at: Pointer) -> State:
        """Show it as a click would place it, or why it cannot be there."""
        try:
            self.show(at, Ghost(_breaker(self.desk.layout, at)))
        except EditError as error:
            self.desk.preview(Spot(*at.place, str(error), "refused"))
        return self

    def press(self, at: Pointer) -> State:
        """Take its place."""
        return Pressing(self.desk, at)


class Pressing(State):
    """The button is down where the breaker goes: a click, or a drag to its feed."""

    hint = "Let go to place it, or drag to the booster or bus that feeds it."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer) -> None:
        super().__init__(desk)
        self._pressed = pressed

    @property
    def wish(self) -> Wish:
        """What may feed it."""
        return Wish(kinds=POWER)

    def idle(self) -> State:
        """Leave the place."""
        return Hovering(self.desk)

    def move(self, at: Pointer) -> State:
        """Pull its feed once it is dragged."""
        if at.is_dragged_from(self._pressed):
            return Feeding(self.desk, self._pressed).move(at)
        return self

    def release(self, at: Pointer) -> State:  # noqa: ARG002
        """Place it."""
        return _place(self, _breaker(self.desk.layout, self._pressed))


class Feeding(State):
    """Its feed follows the pointer to a booster, breaker, strip or bus."""

    hint = "Let go on the booster, bus or strip that feeds it. Esc: leave it."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer) -> None:
        super().__init__(desk)
        self._place, self._kind = point_of(pressed), _kind(pressed)

    @property
    def wish(self) -> Wish:
        """What may feed it."""
        return Wish(kinds=POWER)

    def idle(self) -> State:
        """Leave the place."""
        return Hovering(self.desk)

    def move(self, at: Pointer) -> State:
        """Show it, and its feed."""
        feed = attachment_at(at)
        device = add_inline(self.desk.layout, self._kind, self._place, feed=feed)
        marks: list[Mark] = [Ghost(device)]
        if feed is None:
            here = (self._place.x_mm, self._place.y_mm)
            marks.append(Stroke((here, at.place), "lead"))
        self.show(at, *marks)
        return self

    def release(self, at: Pointer) -> State:
        """Place it; let go on nothing, it stands without a feed."""
        feed = attachment_at(at)
        device = add_inline(self.desk.layout, self._kind, self._place, feed=feed)
        return _place(self, device)


def _breaker(layout: Layout, at: Pointer) -> Change:
    """Return what a click does: on a bus it is cut in, elsewhere it stands beside."""
    if isinstance(at.snap.on, ToBus):
        return cut_in(layout, _kind(at), at.snap.on)
    place = point_of(at)
    return add_inline(layout, _kind(at), place, feed=_nearest_booster(layout, place))


def _kind(at: Pointer) -> Device:
    return "lamp" if at.held.shift else "breaker"


def _nearest_booster(layout: Layout, place: Point) -> Attachment | None:
    near = [
        (hypot(b.x_mm - place.x_mm, b.y_mm - place.y_mm), b.id)
        for b in layout.of_kind(Booster)
    ]
    away, booster = min(near, default=(NEAR_MM, None))
    return ToPort(part=booster) if booster is not None and away < NEAR_MM else None


def _place(state: State, change: Change) -> State:
    after = state.cancel()
    state.desk.commit(change)
    made = change.after.values()
    state.desk.select(p.id for p in made if isinstance(p, Inline))
    return after
