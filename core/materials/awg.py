"""American wire gauge: diameter, area and current by circular mils."""

from core.units.si import Ampere, Metre, SquareMetre
from core.units.wire_size import area_of_awg, awg_diameter_mm

CIRCULAR_MILS_PER_AMP = 700.0
"""A handbook's figure for long bundled runs; not a safety code. [cmil/A]"""

_METRES_PER_MIL = 2.54e-5


def diameter(gauge: float) -> Metre:
    """Return the diameter of a solid wire (ASTM B258). [m]"""
    return Metre(awg_diameter_mm(gauge) / 1e3)


def area(gauge: float) -> SquareMetre:
    """Return the area of a solid wire (ASTM B258). [m²]"""
    return SquareMetre(area_of_awg(gauge) / 1e6)


def circular_mils(gauge: float) -> float:
    """Return the area in circular mils: the diameter in mils, squared. [cmil]"""
    return float((diameter(gauge) / _METRES_PER_MIL) ** 2)


def amps_by_circular_mils(gauge: float) -> Ampere:
    """Return the current at 700 circular mils an ampere. [A]"""
    return Ampere(circular_mils(gauge) / CIRCULAR_MILS_PER_AMP)
