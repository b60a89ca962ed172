"""The text of a file as plain values: syntax, head and limits."""

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NoReturn

import msgspec

from core.errors import FileFormatError
from core.layout.storage.format import (
    FORMAT,
    MAX_BYTES,
    MAX_MARKS,
    MAX_NESTING,
    MAX_PARTS,
    RECOVERY_KEY,
    VERSION,
)
from core.layout.storage.line import Plain

_OWN_KEYS = ("format", "version", "issued", "parts", RECOVERY_KEY)
_AT_BYTE = re.compile(r"(?P<what>.*?) \(byte (?P<byte>\d+)\)", re.DOTALL)
_WHOLE_COPY = "Take the copy saved before (its name ends in ~), or another copy."


@dataclass(frozen=True, slots=True)
class Document:
    """What stands in a file, not yet understood.

    Attributes
    ----------
    lines : list of dict
        One for each part.
    issued : object
        Whatever stands under that key.
    extras : dict
        Keys of the file that this version does not know.
    """

    lines: list[Plain]
    issued: Any
    extras: Plain


def read_document(data: bytes, where: str) -> Document:
    """Return what stands in a file, if it is a layout file of this version.

    Raises
    ------
    FileFormatError
        It is not; the sentence says what is wrong and in which line.
    """
    if len(data) > MAX_BYTES:
        raise FileFormatError(
            where,
            f"it is larger than {MAX_BYTES // 1_000_000} MB.",
            "A layout file is smaller; check that it is one.",
        )
    if sum(data.count(mark) for mark in (b"[", b"{", b",")) > MAX_MARKS:
        raise FileFormatError(
            where,
            f"it holds more than {MAX_MARKS:,} values.",
            "A layout file holds fewer; check that it is one.",
        )
    content = _decoded(data, where)
    if not isinstance(content, dict) or content.get("format") != FORMAT:
        raise FileFormatError(
            where,
            f'it is not a layout file: it does not say "format": "{FORMAT}".',
            "Choose a file that this program saved.",
        )
    _check_version(content.get("version"), where)
    lines = content.get("parts")
    if not isinstance(lines, list):
        raise FileFormatError(where, "parts: there is no list of parts.", _WHOLE_COPY)
    if len(lines) > MAX_PARTS:
        raise FileFormatError(
            where,
            f"parts: there are {len(lines):,}; {MAX_PARTS:,} are the most.",
            "Split the layout into several files.",
        )
    for number, line in enumerate(lines):
        if not isinstance(line, dict):
            raise FileFormatError(
                where, f"parts[{number}]: this is not a part.", _WHOLE_COPY
            )
    extras = {k: v for k, v in content.items() if k not in _OWN_KEYS}
    return Document(lines, content.get("issued", {}), extras)


def _check_version(version: Any, where: str) -> None:
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise FileFormatError(
            where, "version: there is no version number.", _WHOLE_COPY
        )
    if version > VERSION:
        raise FileFormatError(
            where,
            f"it is of version {version}, written by a newer program; this one "
            f"reads version {VERSION}.",
            "Open it with the newer program. The file is untouched.",
        )


def _decoded(data: bytes, where: str) -> Any:
    data = data.removeprefix(b"\xef\xbb\xbf")  # some editors put that mark there
    try:
        content = msgspec.json.decode(data)
        json.loads(data, object_pairs_hook=_refuse_doubles)
    except msgspec.DecodeError as error:
        _refuse_syntax(data, where, str(error))
    except UnicodeDecodeError as error:
        line = _line_of(data, _odd_byte(data))
        raise FileFormatError(
            where, f"line {line}: this is not text in UTF-8.", _WHOLE_COPY
        ) from error
    except RecursionError as error:
        raise _too_deep(where) from error
    except _DoubleKeyError as error:
        raise FileFormatError(
            where,
            f"{error.place}: the key {error.key!r} stands there twice.",
            "Open the file in a text editor and take one of the two away.",
        ) from error
    if any(depth > MAX_NESTING for depth in _depths(content)):
        raise _too_deep(where)
    return content


def _refuse_syntax(data: bytes, where: str, message: str) -> NoReturn:
    match = _AT_BYTE.fullmatch(message)
    what = (match["what"] if match else message).removeprefix("JSON is malformed: ")
    if "truncated" in what:
        what, line = "the file breaks off here", _line_of(data, len(data))
    elif match:
        line = _line_of(data, int(match["byte"]))
    else:
        what, line = what.partition(" - at ")[0], _line_out_of_range(data)
    raise FileFormatError(where, f"line {line}: {what.lower()}.", _WHOLE_COPY) from None


def _line_out_of_range(data: bytes) -> int:
    """Return the line with a number that no computer holds (the first one if none)."""
    for number, line in enumerate(data.split(b"\n"), start=1):
        text = line.strip().rstrip(b",")
        try:
            msgspec.json.decode(b"{" + text + b"}" if text[:1] == b'"' else text)
        except msgspec.ValidationError:
            return number
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            continue  # not a whole value on its own line
    return 1


def _odd_byte(data: bytes) -> int:
    """Return where the text stops being UTF-8."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return error.start
    return 0


def _line_of(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1


def _too_deep(where: str) -> FileFormatError:
    return FileFormatError(
        where,
        f"it is nested more than {MAX_NESTING} levels deep.",
        "A layout file is not; check that it is one.",
    )


def _depths(content: Any) -> Iterator[int]:
    """Yield the depth of every list and object, without recursion."""
    waiting = [(content, 1)]
    while waiting:
        value, depth = waiting.pop()
        inner = value.values() if isinstance(value, dict) else value
        if isinstance(value, dict | list):
            yield depth
            waiting.extend((v, depth + 1) for v in inner if isinstance(v, dict | list))


class _DoubleKeyError(ValueError):
    """A key stands twice in one object: which is meant cannot be known."""

    def __init__(self, key: str, place: str) -> None:
        super().__init__(key)
        self.key = key
        self.place = place


def _refuse_doubles(pairs: list[tuple[str, Any]]) -> Plain:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        double = Counter(keys).most_common(1)[0][0]
        part_id = found.get("id")
        raise _DoubleKeyError(double, part_id if isinstance(part_id, str) else "head")
    return found
