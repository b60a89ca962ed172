"""A draft of a change: a scratch layout in which parts are put and taken out."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import TypeVar

import msgspec

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.pits import fitted_bridges, kept_stalls
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.limits.complaint import field_words, split_complaint
from core.layout.limits.lettering import without_controls
from core.layout.limits.materials import strange_names
from core.layout.limits.sizes import size_trouble, total_trouble
from core.layout.parts import Bus, OnRun, Part, TrackRun
from core.layout.queries import kind_word

P = TypeVar("P", bound=Part)

BEYOND_M = 1e-6
"""How far past a run's end a position may lie and still mean the end. [m]"""

_KIND_WORDS = {"TrackRun": "track", "Inline": "device", "Strip": "terminal strip"}
"""What a builder calls a kind of part, where the class says it otherwise."""


class Draft:
    """Collects what becomes of parts; `change` turns it into one Change.

    The layout it was made for is only read. `view` is a scratch copy in which
    everything put so far already holds.
    """

    def __init__(self, layout: Layout) -> None:
        self.base = layout
        self._touched: dict[PartId, None] = {}
        self.view = layout.copy()

    @property
    def touched(self) -> Mapping[PartId, None]:
        """The parts put in or taken out so far."""
        return MappingProxyType(self._touched)

    def put(self, part: P) -> P:
        """Put a new or altered part in, and return it as it is kept.

        Raises
        ------
        EditError
            A field is out of its limits, not a finite number, or names a
            material that is in no table.
        """
        sound = checked(part)
        self._swap(sound.id, sound)
        return sound

    def take_out(self, part_id: PartId) -> None:
        """Take a part out."""
        self._swap(part_id, None)

    def new_id(self, prefix: str) -> PartId:
        """Return an id that was never used, neither in the layout nor here."""
        return self.view.new_id(prefix)

    def change(self, label: str, merge_key: str = "") -> Change:
        """Return what turns the layout into the draft.

        Bridges are fitted to their pits, and stalls found anew, where track or a
        turntable was touched.

        Raises
        ------
        EditError
            It would be more track or bus than can be worked out.
        """
        for part in list(fitted_bridges(self.base, self.view, self._touched)):
            self.put(part)
        for table in list(kept_stalls(self.base, self.view, self._touched)):
            self.put(table)
        before = {i: self.base.parts.get(i) for i in self._touched}
        after = {i: self.view.parts.get(i) for i in self._touched}
        if any(isinstance(part, TrackRun | Bus) for part in after.values()):
            too_much = total_trouble(self.view.parts.values())
            if too_much and not total_trouble(self.base.parts.values()):
                raise EditError(
                    f"That is too much for one layout: {too_much}.",
                    "Split the layout into several files.",
                )
        return Change(label, before, after, merge_key)

    def _swap(self, part_id: PartId, part: Part | None) -> None:
        self._touched[part_id] = None
        before = self.view.parts.get(part_id)
        self.view.apply(Change("", {part_id: before}, {part_id: part}))


def needed(layout: Layout, part_id: PartId, kind: type[P]) -> P:
    """Return a part that an edit cannot do without.

    Raises
    ------
    EditError
        No part of that kind has that id.
    """
    part = layout.parts.get(part_id)
    if isinstance(part, kind):
        return part
    word = _KIND_WORDS.get(kind.__name__, kind.__name__.lower())
    what = f"{part_id} is a {kind_word(part)}, not a" if part else "There is no"
    named = f"{what} {word}." if part else f"{what} {word} {part_id}."
    raise EditError(named, f"Choose a {word}.")


def checked(part: P) -> P:
    """Return a part as its record has it, if all its fields lie within their limits.

    Control characters in its texts become spaces, as when a file is read.

    Raises
    ------
    EditError
        A field does not; the sentence names it.
    """
    plain = msgspec.to_builtins(part, builtin_types=(bytes,))
    plain = {field: without_controls(field, value) for field, value in plain.items()}
    try:
        sound = msgspec.convert(plain, type(part), builtin_types=(bytes,))
    except msgspec.ValidationError as error:
        what, path = split_complaint(error)
        field = f"{field_words(path)} of " if path else ""
        raise EditError(
            f"The {field}{part.id} cannot be like that: {what}.",
            "Give a value within the limits.",
        ) from error
    for strange in strange_names(sound):
        raise EditError(
            f"There is no {strange.field} called {strange.name!r}.",
            f"Did you mean {strange.nearest!r}?" if strange.nearest else "",
        )
    trouble = size_trouble(sound)
    if trouble:
        raise EditError(
            f"{part.id} cannot be like that: {trouble}.", "Draw it shorter."
        )
    return sound


def place_on(layout: Layout, on: OnRun) -> OnRun:
    """Return a place, held inside its run by a hair's breadth.

    Raises
    ------
    EditError
        There is no such run, or the place is off it.
    """
    run = needed(layout, on.run, TrackRun)
    length = run_path(run).length_m
    if not -BEYOND_M <= on.position_m <= length + BEYOND_M:
        raise EditError(
            f"{on.position_m:.3f} m is off {run.name or run.id}, "
            f"which is {length:.3f} m long.",
            "Choose a place on the track.",
        )
    return OnRun(run=on.run, position_m=min(max(on.position_m, 0.0), length))


def heading_deg(degrees_turned: float) -> float:
    """Return a heading between −180 and 180, so that turns never add up. [°]"""
    if -180.0 <= degrees_turned <= 180.0:
        return degrees_turned
    return (degrees_turned + 180.0) % 360.0 - 180.0
