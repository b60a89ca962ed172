"""Wire sizes as they are sold: American gauge, square millimetres, strands."""

import math
import re
from dataclasses import dataclass
from typing import Literal

from core.errors import UnitParseError
from core.units.numbers import MOST_CHARACTERS, is_ambiguous, plain_text
from core.units.si import Millimetre

SizeKind = Literal["awg", "mm2", "strands"]

STANDARD_MM2 = (
    *(0.14, 0.22, 0.25, 0.35),
    *(0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0),
)
"""Nominal areas: hook-up wire below 0.5, IEC 60228 from there on. [mm²]"""

TRADE_AWG = (8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30)
"""Gauges commonly stocked: the even ones (common practice, no source)."""

_EXAMPLES = ("14 AWG", "2.5 mm²", "16/0.2")
_WHICH_GAUGE = ("14 AWG", "14 mm²")
_DECIMAL = r"([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_AWG = re.compile(r"(?:#|awg ?|no\. ?)([0-9]{1,2})|([0-9]{1,2}) ?(?:awg|ga|gauge)")
_MM2 = re.compile(rf"{_DECIMAL} ?(mm2|mm\^2|sq\.? ?mm|qmm)?")
_STRANDS = re.compile(rf"([0-9]{{1,4}}) ?[/x] ?{_DECIMAL} ?(?:mm)?")


@dataclass(frozen=True, slots=True)
class WireSize:
    """A size of copper: its nominal area and how it is written. [mm²]"""

    area_mm2: float
    label: str
    kind: SizeKind


def parse_wire_size(text: str, system: Literal["mm2", "awg"] | None = None) -> WireSize:
    """Return the size that a text means.

    Parameters
    ----------
    text : str
        "14 AWG", "#14", "2.5 mm²", "2.5", "16/0.2" (strands / strand mm).
    system : "mm2", "awg" or None, default None
        What a bare number is. Without it, a bare number is square millimetres,
        and a bare whole number that is also a gauge (8 to 30) is refused.

    Raises
    ------
    UnitParseError
        The text is no wire size, or may mean two.
    """
    plain = plain_text(text).casefold()
    if len(plain) <= MOST_CHARACTERS:
        if gauge := _AWG.fullmatch(plain):
            return _gauge_size(text, int(gauge[1] or gauge[2]))
        if (bundle := _STRANDS.fullmatch(plain)) and not is_ambiguous(bundle[2]):
            return _strand_size(text, int(bundle[1]), _decimal(bundle[2]))
        if (area := _MM2.fullmatch(plain)) and not is_ambiguous(area[1]):
            if area[2] or not plain.isdigit():
                return _area_size(text, _decimal(area[1]))
            return _bare_size(text, int(plain), system)
    raise UnitParseError(text, "a wire size", _EXAMPLES)


def awg_size(gauge: int) -> WireSize:
    """Return the size of an American gauge."""
    return WireSize(area_of_awg(gauge), f"{gauge} AWG", "awg")


def awg_diameter_mm(gauge: float) -> Millimetre:
    """Return the diameter of a solid round wire of an American gauge.

    d = 0.127 mm · 92^((36 − n) / 39)

    Sources
    -------
    .. [1] ASTM B258: 36 AWG is 0.005 inch, 0000 (n = −3) is 0.46 inch, and 39
           equal ratios lie between them.
    """
    return Millimetre(0.127 * 92.0 ** ((36.0 - gauge) / 39.0))


def area_of_awg(gauge: float) -> float:
    """Return the area of a solid round wire of an American gauge. [mm²]"""
    return math.pi / 4.0 * awg_diameter_mm(gauge) ** 2


def awg_of_area(area_mm2: float) -> float:
    """Return the gauge, not rounded, of a solid wire of an area. [1]"""
    diameter_mm = math.sqrt(4.0 * area_mm2 / math.pi)
    return 36.0 - 39.0 * math.log(diameter_mm / 0.127, 92.0)


def nearest_awg(area_mm2: float) -> WireSize:
    """Return the stocked gauge nearest in area, by ratio.

    By copper area alone; a flexible metric wire is up to 16 % worse than its
    area says, so compare resistances (`core.materials.wires.nearest_wire`)
    before a wire is swapped.
    """
    gauge = awg_of_area(area_mm2)
    return awg_size(min(TRADE_AWG, key=lambda n: abs(n - gauge)))


def nearest_mm2(area_mm2: float) -> WireSize:
    """Return the standard metric size nearest in area, by ratio."""
    area = min(STANDARD_MM2, key=lambda a: abs(math.log(a / area_mm2)))
    return WireSize(area, show_area(area), "mm2")


def show_area(area_mm2: float) -> str:
    """Return an area to three figures: "2.5 mm²", "0.326 mm²"."""
    return f"{area_mm2:.3g} mm²"


def _bare_size(
    text: str, number: int, system: Literal["mm2", "awg"] | None
) -> WireSize:
    if system == "awg":
        return _gauge_size(text, number)
    if system is None and 8 <= number <= 30:
        raise UnitParseError(text, "a wire size", _WHICH_GAUGE)
    return _area_size(text, float(number))


def _gauge_size(text: str, gauge: int) -> WireSize:
    if gauge > 40:
        raise UnitParseError(text, "a wire size from 0 to 40 AWG", _EXAMPLES)
    return awg_size(gauge)


def _area_size(text: str, area_mm2: float) -> WireSize:
    if not 0.01 <= area_mm2 <= 100.0:
        raise UnitParseError(text, "a wire size from 0.01 to 100 mm²", _EXAMPLES)
    return WireSize(area_mm2, f"{area_mm2:g} mm²", "mm2")


def _strand_size(text: str, strands: int, strand_mm: float) -> WireSize:
    area_mm2 = strands * math.pi / 4.0 * strand_mm**2
    if not 0.01 <= area_mm2 <= 100.0:
        raise UnitParseError(text, "a wire size from 0.01 to 100 mm²", _EXAMPLES)
    return WireSize(area_mm2, f"{strands}/{strand_mm:g}", "strands")


def _decimal(figures: str) -> float:
    return float(figures.replace(",", "."))
