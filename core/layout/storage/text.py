"""A layout as the text of its file, and back."""

import json
from collections.abc import Mapping
from typing import Any

from core.errors import FileFormatError
from core.layout.ids import PartId, split_id
from core.layout.layout import Layout
from core.layout.limits.lettering import whole_characters
from core.layout.limits.sizes import size_trouble, total_trouble
from core.layout.parts import Part
from core.layout.storage.document import read_document
from core.layout.storage.format import FORMAT, VERSION
from core.layout.storage.line import KINDS, Plain, Reading, read_line, write_line
from core.layout.storage.mending.ids import clean_issued, name_lines
from core.layout.storage.mending.names import mend_names
from core.layout.storage.mending.references import mend_references
from core.layout.storage.report import LoadReport, Notes

UNREAD = "parts"
"""Under this key of the file's extras: the lines that could not be read."""

_FIRST = ("settings", "board", "joist")
_LAST = ("backdrop",)
_ORDER = (*_FIRST, *(k for k in KINDS if k not in (*_FIRST, *_LAST)), *_LAST)
"""Kinds in the order in which they are written; the long picture comes last."""


def dump_layout(layout: Layout, also: Mapping[str, Any] | None = None) -> bytes:
    """Return the text of a layout's file: one part a line, always in one order.

    Parameters
    ----------
    layout : Layout
        Read, never changed.
    also : mapping, optional
        Further keys for the head of the file.
    """
    extras = layout.extras.get("", {})
    head: Plain = {"format": FORMAT, "version": VERSION, **(also or {})}
    head["issued"] = dict(sorted(layout.issued.items()))
    head.update((k, v) for k, v in extras.items() if k != UNREAD)
    lines = [
        write_line(part, layout.extras.get(part.id, {}))
        for part in sorted(layout.parts.values(), key=_rank)
    ]
    lines.extend(extras.get(UNREAD, []))
    text = ",\n".join(f"{_json(key)}: {_json(value)}" for key, value in head.items())
    body = ",\n".join(_json(line) for line in lines)
    whole = f'{{\n{text},\n"parts": [\n{body}\n]\n}}\n'
    return whole_characters(whole).encode("utf-8")


def parse_layout(data: bytes, where: str) -> tuple[Layout, LoadReport]:
    """Return the layout in the text of a file, and what had to be mended.

    Parameters
    ----------
    data : bytes
        What is in the file.
    where : str
        The name of the file, for errors.

    Raises
    ------
    FileFormatError
        It is not a layout, is of a newer version, or is out of all limits.
    """
    document = read_document(data, where)
    notes = Notes()
    issued = clean_issued(document.issued, notes)
    lines = name_lines(document.lines, issued, notes)
    reader = _Reader(notes)
    for number, line in enumerate(lines, start=1):
        reader.take(line, number)
    parts = reader.finish()
    too_much = total_trouble(parts.values())
    if too_much:
        raise FileFormatError(
            where,
            f"{too_much}.",
            "Check that the file is a layout and its lengths are right.",
        )
    extras: dict[str, Mapping[str, Any]] = {
        i: x for i, x in reader.extras.items() if i in parts
    }
    if document.extras or reader.unread:
        unread = {UNREAD: reader.unread} if reader.unread else {}
        extras[""] = {**document.extras, **unread}
    return Layout(parts, issued, extras), notes.report()


class _Reader:
    """Turns lines into parts, and keeps those that cannot be."""

    def __init__(self, notes: Notes) -> None:
        self.extras: dict[PartId, Plain] = {}
        self.unread: list[Plain] = []
        self._notes = notes
        self._parts: dict[PartId, Part] = {}

    def take(self, line: Plain, number: int) -> None:
        """Read one line."""
        reading = read_line(line)
        named = _called(line, number)
        trouble = reading.trouble
        if reading.part is not None:
            trouble = size_trouble(reading.part)
        if trouble or reading.part is None:
            self._notes.leave(
                f"{named} could not be read: {trouble}. It is kept in the file and "
                f"not shown."
            )
            self.unread.append(line)
            return
        self._say(named, reading)
        part = mend_names(reading.part, self._notes)
        self._parts[part.id] = part
        if reading.extras:
            self.extras[part.id] = reading.extras

    def finish(self) -> dict[PartId, Part]:
        """Return the parts that hang together."""
        unread = frozenset(str(line.get("id")) for line in self.unread)
        mended = mend_references(self._parts, unread, self._notes)
        self.unread.extend(
            write_line(self._parts[part_id], self.extras.get(part_id, {}))
            for part_id in mended.aside
        )
        return mended.parts

    def _say(self, named: str, reading: Reading) -> None:
        for sentence in reading.fixed:
            self._notes.fix(f"{named}, {sentence}")
        for key in reading.lost:
            self._notes.leave(
                f"{named}: this version does not know {key}; it will be gone when "
                f"the layout is saved."
            )


def _rank(part: Part) -> tuple[int, str, int, str]:
    kind = _ORDER.index(str(part.__struct_config__.tag))
    prefix, number = split_id(part.id) or (part.id, 0)
    return kind, prefix, number, part.id


def _called(line: Plain, number: int) -> str:
    part_id = line.get("id")
    named = isinstance(part_id, str) and 0 < len(part_id) <= 20
    return str(part_id) if named else f"Part {number} of the list"


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
