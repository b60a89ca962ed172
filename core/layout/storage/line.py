"""One part, one line: a part as plain JSON values and back."""

import base64
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, get_args

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import FieldInfo, fields

from core.layout.limits.complaint import split_complaint
from core.layout.limits.lettering import without_controls
from core.layout.parts import Part

Plain = dict[str, Any]
"""A JSON object: what stands on one line."""

KINDS: dict[str, type[Part]] = {
    str(kind.__struct_config__.tag): kind for kind in get_args(Part)
}
"""The class of each kind of part, by the word in the file."""


@dataclass(slots=True)
class Reading:
    """What came of a line.

    Attributes
    ----------
    part : Part or None
        None where it cannot be shown.
    extras : dict
        Keys this version does not know, to be written back.
    fixed : list of str
        What was mended, each to be read after the part's name and a colon.
    lost : list of str
        Unknown keys in places where they cannot be kept.
    trouble : str
        Why there is no part.
    """

    part: Part | None = None
    extras: Plain = field(default_factory=dict)
    fixed: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    trouble: str = ""


def read_line(line: Plain) -> Reading:
    """Return the part on a line; a field that will not do gets its default."""
    kind = line.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        named = repr(kind)[:40] if kind is not None else "no kind"
        return Reading(trouble=f"this version knows no such kind of part ({named})")
    reading = Reading()
    given = _cleaned(line, reading)
    optional = {f.name for f in fields(KINDS[kind]) if f.default is not NODEFAULT}
    while reading.part is None:
        try:
            reading.part = msgspec.convert(given, KINDS[kind])
        except msgspec.ValidationError as error:
            what, path = split_complaint(error)
            name = re.split(r"[.\[]", path, maxsplit=1)[0]
            if name not in optional or name not in given:
                reading.trouble = f"{path}: {what}" if path else what
                return reading
            del given[name]
            reading.fixed.append(f"{path}: {what}; it is as usual now.")
    reading.extras = dict(_unknown(given, reading.part, "", reading.lost))
    return reading


def write_line(part: Part, extras: Mapping[str, Any]) -> Plain:
    """Return the line of a part: its kind, its id, what is not as usual, extras."""
    line = plain(part)
    for key, value in extras.items():
        mine = getattr(part, key, None)
        if isinstance(mine, Struct):
            line[key] = {**plain(mine), **value}
        else:
            line[key] = value
    return line


def plain(record: Struct) -> Plain:
    """Return a record as JSON values, without the fields at their default."""
    config = record.__struct_config__
    found: Plain = {config.tag_field: config.tag} if config.tag_field else {}
    for info in fields(record):
        value = getattr(record, info.name)
        if not _is_usual(value, info):
            found[info.name] = _value(value)
    return found


def _is_usual(value: object, info: FieldInfo) -> bool:
    if info.name == "id":
        return False
    return info.default is not NODEFAULT and bool(value == info.default)


def _value(value: Any) -> Any:
    """Return a field's value as JSON has it; whole floats as whole numbers."""
    match value:
        case Struct():
            return plain(value)
        case tuple():
            return [_value(item) for item in value]
        case bytes():
            return base64.b64encode(value).decode("ascii")
        case float() if value.is_integer() and abs(value) < 1e15:
            return int(value)
        case _:
            return value


def _cleaned(line: Plain, reading: Reading) -> Plain:
    """Return a copy without control characters in names and notes."""
    given = dict(line)
    for key in KINDS[line["kind"]].__struct_fields__:
        if key not in line:
            continue
        given[key] = without_controls(key, line[key])
        if given[key] != line[key]:
            reading.fixed.append(f"{key}: control characters are spaces now.")
    return given


def _unknown(
    given: Plain, record: Struct, path: str, lost: list[str]
) -> Iterator[tuple[str, Any]]:
    """Yield the keys that a record has no field for, also one level down."""
    known = set(record.__struct_fields__) | {record.__struct_config__.tag_field}
    for key, value in given.items():
        if key not in known:
            yield key, value
            continue
        mine = getattr(record, key, None)
        items = enumerate(mine) if isinstance(mine, tuple) else [(None, mine)]
        for index, item in items:
            if not isinstance(item, Struct):
                continue
            inner = value if index is None else value[index]
            place = f"{path}{key}" if index is None else f"{path}{key}[{index}]"
            found = dict(_unknown(inner, item, f"{place}.", lost))
            if not found:
                continue
            if index is None and not path and not item.__struct_config__.tag_field:
                yield key, found
            else:
                lost.extend(f"{place}.{name}" for name in found)
