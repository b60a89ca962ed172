"""A change of a layout: whole parts before and after, by id."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.layout.ids import PartId
from core.layout.parts import Part


@dataclass(frozen=True, slots=True)
class Change:
    """What becomes of which parts; None stands for "not there".

    Attributes
    ----------
    label : str
        What it does, in the person's words, such as "Move 3 parts".
    before, after : mapping of PartId to Part or None
        The same ids in both.
    merge_key : str
        Changes with the same key, made one after the other, count as one
        step (nudges, typing in a field); empty: never merged.
    """

    label: str
    before: Mapping[PartId, Part | None]
    after: Mapping[PartId, Part | None]
    merge_key: str = field(default="")

    def __post_init__(self) -> None:
        assert self.before.keys() == self.after.keys(), "a change names each id twice"

    @property
    def is_empty(self) -> bool:
        """Whether nothing would be different after it."""
        return all(self.before[i] == self.after[i] for i in self.before)

    def inverse(self) -> "Change":
        """Return the change that takes this one back."""
        return Change(self.label, self.after, self.before, self.merge_key)

    def then(self, later: "Change") -> "Change":
        """Return one change that does this one and a later one."""
        before = {**later.before, **self.before}
        after = {**self.after, **later.after}
        return Change(later.label, before, after, later.merge_key)
