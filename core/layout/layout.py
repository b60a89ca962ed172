"""The layout: parts by id, changed through one door."""

from collections.abc import Callable, Iterator, Mapping
from itertools import count, islice
from types import MappingProxyType
from typing import Any, TypeVar

from core.errors import UnknownNameError
from core.layout.change import Change
from core.layout.ids import BACKDROP_ID, LAST_NUMBER, SETTINGS_ID, PartId, split_id
from core.layout.parts import Backdrop, Part, Settings

P = TypeVar("P", bound=Part)
Listener = Callable[[Change], None]


class Layout:
    """All parts of one layout.

    Parameters
    ----------
    parts : mapping of PartId to Part, optional
        What it begins with; settings are added where missing.
    issued : mapping of str to int, optional
        Highest number ever given to each id prefix, so none comes twice.
    extras : mapping, optional
        Keys of a file that this version does not know, kept to be written
        back: by part id, and under "" those of the whole file.
    """

    def __init__(
        self,
        parts: Mapping[PartId, Part] | None = None,
        issued: Mapping[str, int] | None = None,
        extras: Mapping[str, Mapping[str, Any]] | None = None,
    ) -> None:
        self._parts: dict[PartId, Part] = dict(parts or {})
        self._parts.setdefault(SETTINGS_ID, Settings())
        self._kinds: dict[type[Any], list[Any]] = {}
        self._issued: dict[str, int] = dict(issued or {})
        self._extras = dict(extras or {})
        self._listeners: list[Listener] = []
        for part_id in self._parts:
            self._note_id(part_id)

    @property
    def parts(self) -> Mapping[PartId, Part]:
        """All parts by id, to read only."""
        return MappingProxyType(self._parts)

    @property
    def settings(self) -> Settings:
        """The settings."""
        part = self._parts[SETTINGS_ID]
        assert isinstance(part, Settings)
        return part

    @property
    def backdrop(self) -> Backdrop | None:
        """The picture under the drawing, if there is one."""
        part = self._parts.get(BACKDROP_ID)
        assert part is None or isinstance(part, Backdrop)
        return part

    @property
    def issued(self) -> Mapping[str, int]:
        """Highest number ever given to each id prefix."""
        return MappingProxyType(self._issued)

    @property
    def extras(self) -> Mapping[str, Mapping[str, Any]]:
        """Unknown keys of the file, by part id ("" for the whole file)."""
        return MappingProxyType(self._extras)

    def of_kind(self, kind: type[P]) -> Iterator[P]:
        """Return the parts of one class one by one, in the order they were added."""
        known = self._kinds.get(kind)
        if known is None:
            known = [part for part in self._parts.values() if isinstance(part, kind)]
            self._kinds[kind] = known
        return iter(known)

    def get(self, part_id: PartId, kind: type[P]) -> P | None:
        """Return a part if it is there and of that class, else None."""
        part = self._parts.get(part_id)
        return part if isinstance(part, kind) else None

    def need(self, part_id: PartId, kind: type[P]) -> P:
        """Return a part that must be there.

        Raises
        ------
        UnknownNameError
            No part of that class has that id.
        """
        part = self._parts.get(part_id)
        if not isinstance(part, kind):
            raise UnknownNameError(part_id, kind.__name__.lower())
        return part

    def new_id(self, prefix: str, taken: int = 0) -> PartId:
        """Return an id that was never used; `taken` skips that many more.

        When all numbers of a prefix are used up, the lowest that is free.
        """
        number = self._issued.get(prefix, 0) + 1 + taken
        if number > LAST_NUMBER:
            free = (n for n in count(1) if f"{prefix}{n}" not in self._parts)
            number = next(islice(free, taken, None))
        return PartId(f"{prefix}{number}")

    def apply(self, change: Change) -> None:
        """Make a change and tell the listeners; the one way to alter a layout."""
        for part_id, part in change.before.items():
            assert self._parts.get(part_id) == part, f"stale change of {part_id}"
        for part_id, part in change.after.items():
            if part is None:
                self._parts.pop(part_id, None)
            else:
                self._parts[part_id] = part
                self._note_id(part_id)
        self._forget_kinds(change)
        for listener in tuple(self._listeners):
            listener(change)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` after each change; return what stops that."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def copy(self) -> "Layout":
        """Return a layout with the same parts and no listeners (parts are frozen)."""
        twin = Layout(issued=self._issued, extras=self._extras)
        # All ids are in `issued` already: reading them again costs milliseconds.
        twin._parts.clear()
        twin._parts.update(self._parts)
        twin._kinds.update(self._kinds)
        return twin

    def _forget_kinds(self, change: Change) -> None:
        """Forget the lists of those kinds of which parts came, went or changed."""
        parts = (*change.before.values(), *change.after.values())
        gone = {type(part) for part in parts if part is not None}
        self._kinds = {
            kind: known
            for kind, known in self._kinds.items()
            if not any(issubclass(one, kind) for one in gone)
        }

    def _note_id(self, part_id: PartId) -> None:
        split = split_id(part_id)
        if split is not None:
            prefix, number = split
            self._issued[prefix] = max(self._issued.get(prefix, 0), number)
