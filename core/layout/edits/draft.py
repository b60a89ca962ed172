"""A draft of a change: a scratch layout in which parts are put and taken out."""

from typing import TypeVar

import msgspec

from core.errors import EditError
from core.layout.change import Change
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Backdrop, OnRun, Part, TrackRun

P = TypeVar("P", bound=Part)

BEYOND_M = 1e-6
"""How far past a run's end a position may lie and still mean the end. [m]"""


class Draft:
    """Collects what becomes of parts; `change` turns it into one Change.

    The layout it was made for is only read. `view` is a scratch copy in which
    everything put so far already holds.
    """

    def __init__(self, layout: Layout) -> None:
        self._base = layout
        self._touched: dict[PartId, None] = {}
        self.view = layout.copy()

    def put(self, part: P) -> P:
        """Put a new or altered part in, checked against its limits.

        Raises
        ------
        EditError
            A field is out of its limits, or not a finite number.
        """
        self._swap(part.id, checked(part))
        return part

    def take_out(self, part_id: PartId) -> None:
        """Take a part out."""
        self._swap(part_id, None)

    def new_id(self, prefix: str) -> PartId:
        """Return an id that was never used, neither in the layout nor here."""
        return self.view.new_id(prefix)

    def change(self, label: str, merge_key: str = "") -> Change:
        """Return what turns the layout into the draft."""
        before = {i: self._base.parts.get(i) for i in self._touched}
        after = {i: self.view.parts.get(i) for i in self._touched}
        return Change(label, before, after, merge_key)

    def _swap(self, part_id: PartId, part: Part | None) -> None:
        self._touched[part_id] = None
        before = self.view.parts.get(part_id)
        self.view.apply(Change("", {part_id: before}, {part_id: part}))


def checked(part: P) -> P:
    """Return a part if all its fields lie within their limits.

    Raises
    ------
    EditError
        A field does not; the sentence names it.
    """
    if isinstance(part, Backdrop):
        return part  # large, and made by one door that checks it
    try:
        msgspec.convert(msgspec.to_builtins(part), Part)
    except msgspec.ValidationError as error:
        raise EditError(
            f"{part.id} cannot be like that: {_plain(str(error))}.",
            "Type a value within the limits.",
        ) from error
    return part


def place_on(layout: Layout, on: OnRun) -> OnRun:
    """Return a place, held inside its run by a hair's breadth.

    Raises
    ------
    EditError
        There is no such run, or the place is off it.
    """
    run = layout.get(on.run, TrackRun)
    if run is None:
        raise EditError(f"There is no track {on.run}.", "Choose a place on a track.")
    length = run_path(run).length_m
    if not -BEYOND_M <= on.position_m <= length + BEYOND_M:
        raise EditError(
            f"{on.position_m:.3f} m is off {run.name or run.id}, "
            f"which is {length:.3f} m long.",
            "Choose a place on the track.",
        )
    return OnRun(run=on.run, position_m=min(max(on.position_m, 0.0), length))


def _plain(message: str) -> str:
    """Return a checker's message without its path marks."""
    return message.replace("`", "").replace("$.", "").rstrip(".")
