"""Texts of parts: one line each, whole characters, no control characters."""

import re
from typing import Any

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_CONTROL_IN_NOTES = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")

_NOTES = ("notes",)
"""Fields that may run over several lines."""


def whole_characters(text: str) -> str:
    """Return a text that can be written as UTF-8: half characters as question marks."""
    return _HALF_CHARACTER.sub("\N{REPLACEMENT CHARACTER}", text)


def without_controls(field: str, value: Any) -> Any:
    """Return the plain value of a field with its control characters as spaces.

    A line break in a name could pass for a line of another file made from it.
    """
    pattern = _CONTROL_IN_NOTES if field in _NOTES else _CONTROL
    match value:
        case str():
            return whole_characters(pattern.sub(" ", value))
        case dict():
            return {k: without_controls(field, v) for k, v in value.items()}
        case _:
            return value
