"""Short-time limits of copper: let-through energy and melting currents."""

import math

from core.units.si import Ampere, Celsius, Second

ZERO_RESISTANCE_C = Celsius(-234.5)
"""Where copper's straight line of resistance meets zero (IEC 60949). [°C]"""

K_CONSTANT = 226.0
"""Constant of copper in the adiabatic law (IEC 60949). [A·√s/mm²]"""

K_PVC = 115.0
"""k of PVC-insulated copper, 70 to 160 °C (IEC 60364-5-54). [A·√s/mm²]"""

K_XLPE = 143.0
"""k of XLPE- or EPR-insulated copper, 90 to 250 °C (same). [A·√s/mm²]"""

COPPER_MELTS = Celsius(1083.0)
"""Melting point as Onderdonk's formula has it. [°C]"""

PREECE = 10244.0
"""Preece's constant for copper. [A/inch^1.5]"""

_CIRCULAR_MILS_PER_MM2 = 4.0 / math.pi / 0.0254**2
_METRES_PER_INCH = 0.0254


def adiabatic_k(from_c: float, to_c: float) -> float:
    """Return k of copper heated from one temperature to another. [A·√s/mm²]

    k = 226 · √ln(1 + (Tf - Ti) / (234.5 + Ti))

    Sources
    -------
    .. [1] IEC 60364-5-54 Annex A; IEC 60949.
    """
    rise = (to_c - from_c) / (from_c - ZERO_RESISTANCE_C)
    return K_CONSTANT * math.sqrt(math.log1p(rise))


def let_through_limit(area_mm2: float, k: float = K_PVC) -> float:
    """Return the energy I²t that a wire survives, (k·S)². [A²·s]"""
    return (k * area_mm2) ** 2


def withstand_time(area_mm2: float, amps: float, k: float = K_PVC) -> Second:
    """Return how long a wire survives a current. [s]

    No heat leaves the wire: true for parts of a second, pessimistic beyond.
    """
    return Second(let_through_limit(area_mm2, k) / amps**2)


def withstand_amps(area_mm2: float, seconds: float, k: float = K_PVC) -> Ampere:
    """Return the current that a wire survives for a time. [A]"""
    return Ampere(k * area_mm2 / math.sqrt(seconds))


def onderdonk_amps(area_mm2: float, seconds: float, ambient_c: float = 25.0) -> Ampere:
    """Return the current that melts a copper wire in a time, Onderdonk. [A]

    33 · (I/A)² · t = log10(1 + (Tm - Ta) / (234 + Ta)),  A in circular mils

    Notes
    -----
    Some copies have 234 - Ta, which is wrong.
    """
    rise = (COPPER_MELTS - ambient_c) / (234.0 + ambient_c)
    density = math.sqrt(math.log10(1.0 + rise) / (33.0 * seconds))
    return Ampere(area_mm2 * _CIRCULAR_MILS_PER_MM2 * density)


def preece_amps(diameter_m: float) -> Ampere:
    """Return the current that melts a copper wire in air in the long run. [A]

    I = 10244 · d^1.5, d in inches (Preece).
    """
    return Ampere(PREECE * (diameter_m / _METRES_PER_INCH) ** 1.5)
