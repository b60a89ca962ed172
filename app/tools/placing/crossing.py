"""Hovering -press-> Pressing -release-> commit or refusal -> Hovering."""

from dataclasses import replace

from app.tools.desk import Desk
from app.tools.marks import Ghost, Spot
from app.tools.pointer import Pointer
from app.tools.snapping.wish import NOTHING, Wish
from app.tools.state import State
from app.tools.steps import added
from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.cross import add_crossing, plan_crossing_near
from core.layout.layout import Layout
from core.layout.queries import run_name

REACH_PX = 40.0
"""Tracks that cross this near to the pointer are meant. [px]"""

HINT = (
    "Click where two tracks cross: a diamond is laid there. Its properties make it a "
    "slip."
)


class Hovering(State):
    """The diamond that a click would lay is shown where tracks cross."""

    is_idle: bool = True
    hint: str = HINT

    @property
    def wish(self) -> Wish:
        """Nothing pulls: the place is where tracks cross."""
        return NOTHING

    def move(self, at: Pointer) -> State:
        """Show what would be laid here."""
        show_crossing(self, at)
        return self

    def press(self, at: Pointer) -> State:
        """Hold it there until the button is let go."""
        show_crossing(self, at)
        return Pressing(self.desk, self)


class Pressing(State):
    """The button is down; where it is let go the diamond is laid."""

    hint: str = "Let go to lay it. Esc: leave it."
    holds_button: bool = True

    def __init__(self, desk: Desk, hovering: Hovering) -> None:
        super().__init__(desk)
        self._hovering = hovering

    def idle(self) -> State:
        """Go back to hovering."""
        return self._hovering

    def move(self, at: Pointer) -> State:
        """Show what would be laid here."""
        show_crossing(self, at)
        return self

    def release(self, at: Pointer) -> State:
        """Lay it, or say why it cannot be."""
        after = self.cancel()
        change = change_at(self.desk.layout, at)
        self.desk.commit(change)
        self.desk.select(added(change))
        return after


def change_at(layout: Layout, at: Pointer) -> Change:
    """Return the change that lays a diamond near the pointer.

    Raises
    ------
    EditError
        No two tracks cross there on one level, or a crossing is there already.
    """
    found = plan_crossing_near(layout, at.x_mm, at.y_mm, REACH_PX * at.mm_per_px)
    if found is None:
        raise EditError(
            "No two tracks cross here.", "Click where one track crosses another."
        )
    return add_crossing(layout, found.a, found.b)


def show_crossing(state: "Hovering | Pressing", at: Pointer) -> None:
    """Show the diamond that a click here would lay, if any."""
    layout = state.desk.layout
    found = plan_crossing_near(layout, at.x_mm, at.y_mm, REACH_PX * at.mm_per_px)
    if found is None:
        state.desk.preview()
        return
    names = [run_name(layout, on.run) for on in (found.a, found.b)]
    word = f"{names[0]} across {names[1]}"
    spot = Spot(found.x_mm, found.y_mm, word)
    try:
        change = add_crossing(layout, found.a, found.b)
    except EditError:
        state.desk.preview(replace(spot, style="refused"))
        return
    state.desk.preview(Ghost(change), spot)
