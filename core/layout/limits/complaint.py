"""What the checker of fields complains of, as a person would say it."""

import re

import msgspec

_FIELD = re.compile(r"(?P<what>.*?)(?: - at `\$\.?(?P<path>.*)`)?", re.DOTALL)

_PLAIN_WORDS = {
    "`float | null`": "a number or nothing",
    "`float`": "a number",
    "`int`": "a whole number",
    "`str`": "a text",
    "`bytes`": "bytes",
    "`bool`": "true or false",
    "`array`": "a list",
    "`list`": "a list",
    "`object`": "an object",
    "`dict`": "an object",
    "`null`": "nothing",
    "Object missing required field": "it lacks the field",
    "Invalid enum value": "it cannot be",
    "Invalid value": "it cannot be",
    " of length >= ": " no shorter than ",
    " of length <= ": " no longer than ",
    " >= ": " of at least ",
    " <= ": " of at most ",
    " | ": " or ",
    "`": "",
}
"""What the checker says, and how a person would say it."""

_UNITS = {"m", "mm", "a", "v", "s", "w", "c", "px", "ohm", "uf", "deg"}
"""Last words of field names that only give the unit."""


def split_complaint(error: msgspec.ValidationError) -> tuple[str, str]:
    """Return what a checker complains of, in plain letters, and where."""
    match = _FIELD.fullmatch(str(error))
    assert match is not None
    what = match["what"].rstrip(".")
    for theirs, ours in _PLAIN_WORDS.items():
        what = what.replace(theirs, ours)
    what = re.sub(r"(\d)\.0\b", r"\1", what)
    return what[:1].lower() + what[1:], match["path"] or ""


def field_words(name: str) -> str:
    """Return a field's name in words: "rated_a" is "rated", "a_rail" "a rail"."""
    words = name.split("_")
    if len(words) > 1 and words[-1] in _UNITS:
        del words[-1]
    return " ".join(words)
