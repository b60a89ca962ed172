"""Hovering -press-> Pressing -release-> commit -> Hovering."""

from collections.abc import Callable
from dataclasses import dataclass

from app.tools.desk import Desk
from app.tools.marks import Ghost
from app.tools.pointer import Key, Pointer
from app.tools.snapping.turns import on_turn, stepped
from app.tools.snapping.wish import GRID, Wish
from app.tools.state import State
from app.tools.steps import added
from core.layout.change import Change
from core.layout.layout import Layout


@dataclass(frozen=True, slots=True)
class Recipe:
    """What a click places.

    Attributes
    ----------
    make : callable
        The change for a pointer, or None where nothing can stand there.
    hint : str
        What to say while nothing is placed yet.
    wish : Wish
        What the pointer is pulled to.
    """

    make: Callable[[Layout, Pointer], Change | None]
    hint: str
    wish: Wish = GRID


class Hovering(State):
    """What a click would place follows the pointer."""

    is_idle: bool = True

    def __init__(self, desk: Desk, recipe: Recipe, turn: int = 0) -> None:
        super().__init__(desk)
        self.recipe = recipe
        self.turn = turn
        self.hint = recipe.hint

    @property
    def wish(self) -> Wish:
        """What the recipe asks for."""
        return self.recipe.wish

    def move(self, at: Pointer) -> State:
        """Show what would stand here."""
        show_stamp(self, at)
        return self

    def key(self, key: Key, at: Pointer) -> State:
        """Step to another turn of a helix."""
        turn = stepped(self.desk.layout, at, self.turn, key)
        if turn is None:
            return self
        return Hovering(self.desk, self.recipe, turn).move(at)

    def press(self, at: Pointer) -> State:
        """Hold it there until the button is let go."""
        show_stamp(self, at)
        return Pressing(self.desk, self)


class Pressing(State):
    """The button is down; where it is let go the thing is placed."""

    hint: str = "Let go to place it. Esc: leave it."
    holds_button: bool = True

    def __init__(self, desk: Desk, hovering: Hovering) -> None:
        super().__init__(desk)
        self.recipe = hovering.recipe
        self.turn = hovering.turn
        self._hovering = hovering

    @property
    def wish(self) -> Wish:
        """What the recipe asks for."""
        return self.recipe.wish

    def idle(self) -> State:
        """Go back to hovering."""
        return self._hovering

    def move(self, at: Pointer) -> State:
        """Show what would stand here."""
        show_stamp(self, at)
        return self

    def release(self, at: Pointer) -> State:
        """Place it."""
        at = on_turn(self.desk.layout, at, self.turn)
        change = self.recipe.make(self.desk.layout, at)
        after = self.cancel()
        if change is not None:
            self.desk.commit(change)
            self.desk.select(added(change))
        return after


def show_stamp(state: "Hovering | Pressing", at: Pointer) -> None:
    """Show what a click here would place, if anything."""
    at = on_turn(state.desk.layout, at, state.turn)
    change = state.recipe.make(state.desk.layout, at)
    state.show(at, *(() if change is None else (Ghost(change),)))
