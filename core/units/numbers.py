"""Numbers as people type them: decimals with point or comma, and fractions."""

import re
import unicodedata
from fractions import Fraction

from core.errors import UnitParseError

MOST_CHARACTERS = 60
"""Longer texts are no figure that a person typed (house choice)."""

NUMBER = (
    r"(?:(?:[0-9]+[ -]+)?[0-9]+/[0-9]+"  # 10 1/2, 10-1/2, 1/2
    r"|[0-9]+(?:[.,][0-9]*)?"  # 10, 10.5, 10,5, 10.
    r"|[.,][0-9]+)"  # .5
)
"""Pattern of an unsigned number in text that went through `plain_text`."""

_MIXED = re.compile(r"(?:([0-9]+)[ -]+)?([0-9]+)/([0-9]+)")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_SAME_SIGN = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
        "\N{NON-BREAKING HYPHEN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{PRIME}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{ACUTE ACCENT}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{MULTIPLICATION SIGN}": "x",
        "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
        "\N{MICRO SIGN}": "u",
        "\N{GREEK SMALL LETTER MU}": "u",
        "\N{SUPERSCRIPT TWO}": "2",
    }
)


def plain_text(text: str) -> str:
    """Return the text with one sign for each meaning: "10½″" gives `10 1/2"`."""
    apart = "".join(_fraction_apart(character) for character in text)
    plain = apart.translate(_SAME_SIGN).replace("''", '"')
    return " ".join(plain.split())


def read_number(number: str) -> Fraction | None:
    """Return the exact value of a text that `NUMBER` matches, None for n/0."""
    mixed = _MIXED.fullmatch(number)
    if mixed is None:
        return Fraction(number.replace(",", ".").removesuffix("."))
    whole, over, under = mixed.groups(default="0")
    return (
        Fraction(int(whole)) + Fraction(int(over), int(under)) if int(under) else None
    )


def is_ambiguous(number: str) -> bool:
    """Say whether a comma may be a thousands sign: "1,250" is 1.25 or 1250."""
    return _THOUSANDS.fullmatch(number) is not None


def parse_figure(
    text: str, units: dict[str, Fraction], *, wanted: str, examples: tuple[str, ...]
) -> float:
    """Return a number with an optional unit, in the unit whose factor is 1.

    Parameters
    ----------
    text : str
        What was typed.
    units : dict of str to Fraction
        Factor of each unit's name; "" for a bare number. [1]
    wanted, examples : str, tuple of str
        For the error: what was asked for, and good ways to write it.

    Raises
    ------
    UnitParseError
        The text is no such figure, is negative, or may mean two things.
    """
    match = None
    if len(text) <= MOST_CHARACTERS:
        match = re.fullmatch(rf"({NUMBER}) ?([^0-9 ]*)", plain_text(text))
    if match is None or is_ambiguous(match[1]):
        raise UnitParseError(text, wanted, examples)
    number = read_number(match[1])
    factor = units.get(match[2])
    if factor is None and not match[2].startswith("M"):  # "M" is mega, not milli
        factor = units.get(match[2].casefold())
    if number is None or factor is None:
        raise UnitParseError(text, wanted, examples)
    return float(number * factor)


def _fraction_apart(character: str) -> str:
    """Return a vulgar fraction as " n/m", anything else as it is."""
    if unicodedata.decomposition(character).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", character)
    return character
