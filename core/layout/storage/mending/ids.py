"""Every line gets an id of its own."""

import re
from itertools import count
from typing import Any

from core.layout.ids import BACKDROP_ID, LAST_NUMBER, SETTINGS_ID, PartId, split_id
from core.layout.parts import PREFIXES
from core.layout.storage.line import KINDS, Plain
from core.layout.storage.report import Notes

_SOUND = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,11}")
_PREFIX = re.compile(r"[A-Z]{1,3}")
_SINGLE = {"settings": SETTINGS_ID, "backdrop": BACKDROP_ID}
_NAMING = ("run", "part")
"""Keys under which a line names another part, one level down."""
_NAMING_HERE = ("bridge",)
"""Keys of a line that name another part themselves."""


def is_sound(part_id: object) -> bool:
    """Return whether an id from a file will do."""
    if not isinstance(part_id, str) or not _SOUND.fullmatch(part_id):
        return False
    split = split_id(PartId(part_id))
    return part_id not in _SINGLE.values() and (
        split is None or split[1] <= LAST_NUMBER
    )


def clean_issued(given: Any, notes: Notes) -> dict[str, int]:
    """Return the highest numbers given so far, as far as they make sense."""
    if not isinstance(given, dict):
        notes.fix("issued: it is no list of numbers; it was made afresh.")
        return {}
    issued: dict[str, int] = {}
    for prefix, number in given.items():
        whole = isinstance(number, int) and not isinstance(number, bool)
        if _PREFIX.fullmatch(prefix) and whole and 0 <= number <= LAST_NUMBER:
            issued[prefix] = number
        else:
            notes.fix(f"issued: {prefix[:20]!r} was left out, it is no such number.")
    return issued


def name_lines(lines: list[Plain], issued: dict[str, int], notes: Notes) -> list[Plain]:
    """Return the lines with sound ids, each used once; `issued` is kept up.

    The second of two equal ids gets a new one, and whatever names that id goes
    on meaning the first. An id that will not do is replaced wherever it stands.
    Lines of unknown kinds keep theirs.
    """
    used = {i for line in lines if isinstance(i := line.get("id"), str)}
    for part_id in used:
        _note(part_id, issued)
    named: list[Plain] = []
    new_names: dict[str, str] = {}
    seen: set[str] = set()
    for line in _without_twins(lines, notes):
        kind = line.get("kind")
        if not isinstance(kind, str) or kind not in KINDS:
            named.append(line)
            continue
        old = line.get("id")
        if kind in _SINGLE:
            line = _single(line, kind, notes)  # noqa: PLW2901 - the same line, named
        elif not is_sound(old) or old in seen:
            line = _renamed(line, issued, used, notes)  # noqa: PLW2901 - as above
            if isinstance(old, str) and old not in seen and old not in new_names:
                new_names[old] = line["id"]
        if line["id"] in seen:
            notes.fix(f"A second {kind} was left out; there can be only one.")
            continue
        seen.add(line["id"])
        named.append(line)
    sound = {old: new for old, new in new_names.items() if old not in seen}
    return [_pointed(line, sound) for line in named] if sound else named


def _without_twins(lines: list[Plain], notes: Notes) -> list[Plain]:
    """Return the lines, those that stand there twice word for word once."""
    first: dict[str, Plain] = {}
    kept: list[Plain] = []
    for line in lines:
        part_id = line.get("id")
        if not isinstance(part_id, str) or first.setdefault(part_id, line) is line:
            kept.append(line)
        elif first[part_id] == line:
            notes.fix(f"{_shown(part_id)} stood there twice, the same; once is enough.")
        else:
            kept.append(line)
    return kept


def _single(line: Plain, kind: str, notes: Notes) -> Plain:
    if line.get("id", _SINGLE[kind]) != _SINGLE[kind]:
        notes.fix(f"The {kind} had the id {_shown(line['id'])}; it is {kind} now.")
    return {**line, "id": _SINGLE[kind]}


def _renamed(
    line: Plain, issued: dict[str, int], used: set[str], notes: Notes
) -> Plain:
    device = line.get("device")
    kind = device if isinstance(device, str) and device in PREFIXES else line["kind"]
    prefix = PREFIXES.get(kind, "X")
    new = _next_id(prefix, issued, used)
    used.add(new)
    old = line.get("id")
    if is_sound(old):
        why = f"There were two parts called {old}"
    elif old is None:
        why = f"A {kind} had no id"
    else:
        why = f"{_shown(old)} will not do as an id"
    rest = "the second is" if is_sound(old) else "it is"
    notes.fix(f"{why}; {rest} {new} now.")
    return {**line, "id": new}


def _next_id(prefix: str, issued: dict[str, int], used: set[str]) -> str:
    number = issued.get(prefix, 0) + 1
    if number > LAST_NUMBER:
        return next(i for n in count(1) if (i := f"{prefix}{n}") not in used)
    issued[prefix] = number
    return f"{prefix}{number}"


def _pointed(line: Plain, new_names: dict[str, str]) -> Plain:
    """Return a line that names parts by their new names."""
    pointed = dict(line)
    for key, value in line.items():
        if isinstance(value, dict):
            pointed[key] = _pointed_within(value, new_names)
        elif isinstance(value, list):
            pointed[key] = [
                _pointed_within(item, new_names) if isinstance(item, dict) else item
                for item in value
            ]
        elif key in _NAMING_HERE and isinstance(value, str):
            pointed[key] = new_names.get(value, value)
    contact = line.get("contact")  # of a drop or strip it is a kind of contact
    if line.get("kind") == "opening" and isinstance(contact, str):
        pointed["contact"] = new_names.get(contact, contact)
    return pointed


def _pointed_within(value: Plain, new_names: dict[str, str]) -> Plain:
    renamed = {
        naming: new_names[old]
        for naming in _NAMING
        if isinstance(old := value.get(naming), str) and old in new_names
    }
    return {**value, **renamed}


def _note(part_id: str, issued: dict[str, int]) -> None:
    split = split_id(PartId(part_id))
    if split is not None and split[1] <= LAST_NUMBER:
        issued[split[0]] = max(issued.get(split[0], 0), split[1])


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 30 else f"{text[:27]}…"
