"""A field: one thing about a part that a person can type, pick or tick."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from app.panels.fields.codecs import TEXT, Codec
from core.layout.change import Change
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, Settings


@dataclass(frozen=True, slots=True)
class Choice:
    """One entry of a picker; `group` is the heading it stands under."""

    value: Any
    word: str
    group: str = ""
    tip: str = ""


Choices = Callable[[Settings], Sequence[Choice]]
Build = Callable[[Layout, frozenset[PartId], Any], Change]


@dataclass(frozen=True, slots=True)
class Field:
    """One thing about a part.

    Attributes
    ----------
    name : str
        The attribute; also what makes it the same field on two parts.
    label : str
        What a builder calls it.
    codec : Codec
        How it is typed; not used where it is picked or ticked.
    choices : callable or None
        What can be picked.
    ticked : bool
        Whether it is a yes or no.
    lines : int
        How many lines of text it shows.
    alone : bool
        Whether it can only be set for one part at a time.
    shown : callable
        Whether it matters for a part.
    tip : str
        More about it.
    blank : str
        What the empty field says.
    read : callable or None
        How to read it from a part; None: the attribute of that name.
    build : callable or None
        How to change it; None: set the attribute.
    """

    name: str
    label: str
    codec: Codec = TEXT
    choices: Choices | None = None
    ticked: bool = False
    lines: int = 1
    alone: bool = False
    shown: Callable[[Any], bool] = field(default=lambda _: True)
    tip: str = ""
    blank: str = ""
    read: Callable[[Any], Any] | None = None
    build: Build | None = None

    def value_of(self, part: Part) -> Any:
        """Return what a part holds here."""
        return self.read(part) if self.read else getattr(part, self.name)

    def change(self, layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
        """Return the change that puts a value here in some parts."""
        if self.build is not None:
            return self.build(layout, ids, value)
        return set_fields(layout, ids, **{self.name: value})


def one_of(*pairs: tuple[Any, str]) -> Choices:
    """Return choices that are always the same."""
    listed = tuple(Choice(value, word) for value, word in pairs)
    return lambda _: listed
