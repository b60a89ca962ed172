"""Right-to-left scripts: joined letters, and the order they are put on paper in.

Enough for names and notes of one line inside left-to-right pages; no embedding,
no numbers in Arabic-script order beyond keeping figures as they are written.

Sources
-------
.. [1] Unicode Standard Annex 9, Bidirectional Algorithm (classes R, AL, EN, AN).
.. [2] The Unicode Standard, section 9.2, Arabic cursive joining; the joined forms
   are those of the blocks Arabic Presentation Forms A and B.
"""

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

_MIRRORED = dict(zip("()[]{}<>«»", ")(][}{><»«", strict=True))
_TATWEEL = "\u0640"


def join_letters(text: str) -> str:
    """Return a text with Arabic-script letters in the forms they take together."""
    forms = _forms()
    if text.isascii() or not any(c in forms for c in text):
        return text
    chars = list(_with_ligatures(text))
    return "".join(_formed(chars, i) for i in range(len(chars)))


def paper_order(text: str) -> str:
    """Return a line in the order its letters stand on paper, from the left.

    Stretches of right-to-left letters, with what stands between them, are turned
    round; figures inside them, and marks on their letters, keep their order.
    """
    if text.isascii() or not any(_is_rightward(c) for c in text):
        return text
    parts: list[str] = []
    start = 0
    for first, last in _stretches(text):
        parts.append(text[start:first])
        parts.extend(reversed([*_clusters(text[first:last])]))
        start = last
    return "".join(parts) + text[start:]


@lru_cache(maxsize=1)
def _forms() -> dict[str, dict[str, str]]:
    """Return for each letter (or pair) its forms: isolated, initial, medial, final."""
    found: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFE00), *range(0xFE70, 0xFF00)):
        tag, _, rest = unicodedata.decomposition(chr(code)).partition(" ")
        letters = "".join(chr(int(c, 16)) for c in rest.split())
        is_lam_alef = len(letters) == 2 and letters[0] == "\u0644" and code >= 0xFEF5
        if tag[1:-1] in ("isolated", "initial", "medial", "final") and (
            len(letters) == 1 or is_lam_alef
        ):
            found.setdefault(letters, {}).setdefault(tag[1:-1], chr(code))
    return found


def _with_ligatures(text: str) -> Iterable[str]:
    forms = _forms()
    i = 0
    while i < len(text):
        size = 2 if text[i : i + 2] in forms and i + 1 < len(text) else 1
        yield text[i : i + size]
        i += size


def _formed(chars: list[str], i: int) -> str:
    forms = _forms().get(chars[i])
    if forms is None:
        return chars[i]
    before = _neighbour(chars, i, -1)
    after = _neighbour(chars, i, 1)
    to_before = "final" in forms and _reaches_on(before)
    to_after = "initial" in forms and _reaches_back(after)
    name = {
        (False, False): "isolated",
        (False, True): "initial",
        (True, True): "medial",
        (True, False): "final",
    }[to_before, to_after]
    return forms.get(name, chars[i])


def _neighbour(chars: list[str], i: int, step: int) -> str:
    i += step
    while 0 <= i < len(chars) and unicodedata.category(chars[i][0]) == "Mn":
        i += step
    return chars[i] if 0 <= i < len(chars) else ""


def _reaches_on(letter: str) -> bool:
    return letter == _TATWEEL or "initial" in _forms().get(letter, {})


def _reaches_back(letter: str) -> bool:
    return letter == _TATWEEL or "final" in _forms().get(letter, {})


def _is_rightward(char: str) -> bool:
    return unicodedata.bidirectional(char) in ("R", "AL")


def _stretches(text: str) -> Iterable[tuple[int, int]]:
    """Yield first and last+1 of each stretch that is turned round."""
    first = last = None
    for i, char in enumerate(text):
        kind = unicodedata.bidirectional(char)
        if kind in ("R", "AL"):
            first = i if first is None else first
            last = i + 1
        elif first is not None and (
            kind in ("EN", "AN") or (kind == "NSM" and last == i)
        ):
            last = i + 1
        elif kind == "L" and first is not None and last is not None:
            yield first, last
            first = last = None
    if first is not None and last is not None:
        yield first, last


def _clusters(text: str) -> Iterable[str]:
    """Yield what stays together: a letter with its marks, a figure, a number."""
    cluster, kind = "", ""
    for char in text:
        now = "number" if unicodedata.bidirectional(char) in ("EN", "AN") else "letter"
        joins = unicodedata.category(char) == "Mn" or (now == kind == "number")
        if cluster and not joins:
            yield cluster
            cluster = ""
        cluster += _MIRRORED.get(char, char)
        kind = now
    yield cluster
