"""One part, one line: a part as plain JSON values and back."""

import base64
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, get_args

import msgspec
from msgspec import NODEFAULT, Struct
from msgspec.structs import FieldInfo, fields

from core.layout.parts import Part

Plain = dict[str, Any]
"""A JSON object: what stands on one line."""

KINDS: dict[str, type[Part]] = {
    str(kind.__struct_config__.tag): kind for kind in get_args(Part)
}
"""The class of each kind of part, by the word in the file."""

_FIELD = re.compile(r"(?P<what>.*?)(?: - at `\$\.?(?P<path>.*)`)?", re.DOTALL)
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_CONTROL_IN_NOTES = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")

_PLAIN_WORDS = {
    "`float`": "a number",
    "`int`": "a whole number",
    "`str`": "a text",
    "`bool`": "true or false",
    "`array`": "a list",
    "`list`": "a list",
    "`object`": "an object",
    "`dict`": "an object",
    "`null`": "nothing",
    "Object missing required field": "it lacks the field",
    "Invalid enum value": "it cannot be",
    "Invalid value": "it cannot be",
    " | ": " or ",
    "`": "",
}
"""What the checker says, and how a person would say it."""


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


def split_complaint(error: msgspec.ValidationError) -> tuple[str, str]:
    """Return what a checker complains of, in plain letters, and where."""
    match = _FIELD.fullmatch(str(error))
    assert match is not None
    what = match["what"].rstrip(".")
    for theirs, ours in _PLAIN_WORDS.items():
        what = what.replace(theirs, ours)
    return what[:1].lower() + what[1:], match["path"] or ""


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
    """Return a copy without control characters in names and notes.

    A line break in a name could pass for a line of another file made from it.
    """
    known = KINDS[line["kind"]].__struct_fields__
    given = dict(line)
    for key in known:
        value = line.get(key)
        if isinstance(value, dict):
            given[key] = {k: _spaced(v, _CONTROL) for k, v in value.items()}
        elif key in line:
            pattern = _CONTROL_IN_NOTES if key == "notes" else _CONTROL
            given[key] = _spaced(value, pattern)
        if given.get(key) != value:
            reading.fixed.append(f"{key}: control characters are spaces now.")
    return given


def _spaced(value: Any, pattern: re.Pattern[str]) -> Any:
    return pattern.sub(" ", value) if isinstance(value, str) else value


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
