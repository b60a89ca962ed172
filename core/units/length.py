"""Lengths as builders write them: `2400`, `2.4 m`, `7' 10 1/2"`, `94.5 in`."""

import math
import re
from fractions import Fraction
from typing import Literal, NamedTuple

from core.errors import UnitParseError
from core.units.numbers import (
    MOST_CHARACTERS,
    NUMBER,
    is_ambiguous,
    plain_text,
    read_number,
)
from core.units.si import Metre

System = Literal["m", "ft"]
"""Metric (a bare number is millimetres) or feet and inches (inches)."""

METRES_PER_INCH = Fraction(254, 10_000)
"""One inch, exactly (International yard and pound agreement, 1959). [m]"""

METRES_PER_FOOT = 12 * METRES_PER_INCH
"""One foot, exactly. [m]"""

LONGEST = 100_000
"""Nothing on a layout is longer (house choice). [m]"""

SAME_LENGTH = 1e-9
"""Two lengths closer than this are one length. [m]"""

_EXAMPLES: dict[System, tuple[str, ...]] = {
    "m": ("2400", "2.4 m", "7' 10 1/2\""),
    "ft": ("7' 10 1/2\"", "94.5", "2.4 m"),
}
_AMBIGUOUS: tuple[str, ...] = ("1250 mm", "1.25 m")


class _Unit(NamedTuple):
    """A unit of length: its family and its size. [m]"""

    family: System
    metres: Fraction


_MM = _Unit("m", Fraction(1, 1000))
_CM = _Unit("m", Fraction(1, 100))
_M = _Unit("m", Fraction(1))
_IN = _Unit("ft", METRES_PER_INCH)
_FT = _Unit("ft", METRES_PER_FOOT)
_UNITS: dict[str, _Unit] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter"), _MM),
    **dict.fromkeys(("millimeters", "mm."), _MM),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter"), _CM),
    **dict.fromkeys(("centimeters", "cm."), _CM),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters", "m."), _M),
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), _IN),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), _FT),
}
_TERM = re.compile(rf"({NUMBER}) ?([a-z.]+|['\"])?[ ,-]*")


def parse_length(text: str, system: System = "m", *, signed: bool = False) -> Metre:
    """Return the length that a text means, exactly rounded.

    Parameters
    ----------
    text : str
        A number with a unit, a sum from the larger unit to the smaller
        (`7' 10 1/2"`, `2 m 40 cm`), or a bare number.
    system : "m" or "ft", default "m"
        What a bare number is: millimetres or inches.
    signed : bool, default False
        Whether a minus in front is allowed (coordinates).

    Raises
    ------
    UnitParseError
        The text is no length, is longer than 100 km, or its comma may be a
        decimal or a thousands sign ("1,250 mm").
    """
    plain = plain_text(text).casefold()
    negative = signed and plain.startswith("-")
    total = _read_sum(text, plain.removeprefix("-" if negative else "").strip(), system)
    return Metre(-float(total) if negative else float(total))


def show_length(length: float, system: System = "m", *, fine: bool = False) -> str:
    """Return a length as a builder reads it.

    Plain: whole millimetres below a metre, centimetres above it; or feet and
    inches to the nearest eighth. Fine: tenths of a millimetre, or decimal feet
    to three places (inches to two below a foot), for comparing and checking.

    Parameters
    ----------
    length : float
        May be negative. [m]
    system : "m" or "ft", default "m"
        Whose units to use.
    fine : bool, default False
        As fine as a rule can be read, and a little finer.
    """
    if not math.isfinite(length):
        return "—"
    if system == "m":
        shown = _show_metric(abs(length), fine=fine)
    elif fine:
        shown = _show_decimal_feet(abs(length))
    else:
        shown = _show_feet(round(abs(length) / float(METRES_PER_INCH) * 8), 8)
    return f"−{shown}" if length < 0.0 and shown.strip("0 .minft′″") else shown


def write_length(length: float, system: System = "m") -> str:
    """Return the shortest text that reads back as the same length.

    For entry fields: changing units and back leaves the length as it was, to
    within a nanometre, however often it is done.

    Parameters
    ----------
    length : float
        Finite; a negative one reads back with `signed=True`. [m]
    system : "m" or "ft", default "m"
        Whose units to use.
    """
    if length < 0.0:
        return f"-{write_length(-length, system)}"
    if system == "m":
        return _fewest_decimals(length, "mm" if length < 1.0 else "m", system)
    parts = round(length / float(METRES_PER_INCH) * 64)
    if abs(parts / 64 * float(METRES_PER_INCH) - length) <= SAME_LENGTH:
        return _show_feet(parts, 64)
    return _fewest_decimals(length, "ft", system)


def _read_sum(text: str, plain: str, system: System) -> Fraction:
    """Return the sum of the terms of a length. [m]"""
    total, last, at = Fraction(0), None, 0
    while at < len(plain) <= MOST_CHARACTERS:
        match = _TERM.match(plain, at)
        unit = _unit_of(match, last, system) if match else None
        number = read_number(match[1]) if match else None
        if match is None or unit is None or number is None:
            break
        if is_ambiguous(match[1]) and unit not in (_M, _CM):
            raise UnitParseError(text, "a length", _AMBIGUOUS)
        total, last, at = total + number * unit.metres, unit, match.end()
    if last is None or at < len(plain) or total > LONGEST or plain.endswith(("-", ",")):
        raise UnitParseError(text, "a length", _EXAMPLES[system])
    return total


def _unit_of(match: re.Match[str], last: _Unit | None, system: System) -> _Unit | None:
    """Return the unit of a term, None where it cannot follow the last one."""
    if match[2] is None:
        if last is None and match.end() == len(match.string):
            return _MM if system == "m" else _IN
        return _IN if last == _FT and match.end() == len(match.string) else None
    unit = _UNITS.get(match[2])
    if unit is None or last is None:
        return unit
    smaller = unit.family == last.family and unit.metres < last.metres
    return unit if smaller else None


def _show_metric(length: float, *, fine: bool) -> str:
    mm = length * 1000.0
    if round(mm, 1 if fine else 0) < 1000.0:
        return f"{_trim(f'{mm:.1f}')} mm" if fine or mm < 9.95 else f"{mm:.0f} mm"
    if not fine:
        return f"{length:.2f} m"
    return f"{_trim(f'{length:.4f}', keep=3)} m"


def _show_decimal_feet(length: float) -> str:
    feet = length / float(METRES_PER_FOOT)
    return (
        f"{feet:.3f} ft" if round(feet * 12.0, 2) >= 12.0 else f"{feet * 12.0:.2f} in"
    )


def _show_feet(parts: int, per_inch: int) -> str:
    """Return feet and inches; `parts` counts fractions of an inch."""
    feet, rest = divmod(parts, 12 * per_inch)
    inches, over = divmod(rest, per_inch)
    fraction = str(Fraction(over, per_inch)) if over else ""
    figures = f"{inches} {fraction}".strip() if inches or not over else fraction
    return f"{feet}′ {figures}″" if feet else f"{figures}″"


def _fewest_decimals(length: float, unit: str, system: System) -> str:
    scale = 1.0 / float(_UNITS[unit].metres)
    texts = (f"{length * scale:.{places}f} {unit}" for places in range(13))
    same = (t for t in texts if abs(parse_length(t, system) - length) <= SAME_LENGTH)
    return next(same)


def _trim(figures: str, *, keep: int = 0) -> str:
    """Return decimals without closing zeros, but with at least `keep`."""
    whole, _, decimals = figures.partition(".")
    kept = decimals[:keep] + decimals[keep:].rstrip("0")
    return f"{whole}.{kept}" if kept else whole
