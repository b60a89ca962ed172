"""Resistance of copper: by area, by temperature, in strands."""

from core.units.si import Ohm, OhmPerMetre, SquareMetre

RESISTIVITY = 1.0 / 58e6
"""Annealed copper, 100 % IACS, at 20 °C: exactly 58 MS/m (IEC 60028). [Ω·m]"""

ALPHA = 0.00393
"""Temperature coefficient of copper's resistance at 20 °C (IEC 60028). [1/K]"""

STRANDING = 1.02
"""Strands in concentric lay are longer than the wire (ASTM B496: 2 %). [1]"""

STRANDING_MOST = 1.06
"""The most for rope and bunch lay (about 2 to 6 %, from memory). [1]"""


DENSITY = 8890.0
"""Standard annealed copper at 20 °C (IEC 60028, from memory). [kg/m³]"""


def resistance_per_metre(area: SquareMetre) -> OhmPerMetre:
    """Return the resistance of one copper conductor at 20 °C, R = ρ / area. [Ω/m]"""
    return OhmPerMetre(RESISTIVITY / area)


def at_temperature(r20: float, celsius: float) -> Ohm:
    """Return a copper resistance at another temperature than 20 °C.

    R = R20 · (1 + α · (T - 20))

    Parameters
    ----------
    r20 : float
        Resistance, or resistance per metre, at 20 °C. [Ω or Ω/m]
    celsius : float
        Temperature of the conductor. [°C]

    Notes
    -----
    Good to 0.5 % from -40 to 120 °C. IEC 60228 corrects with 0.004 per kelvin,
    which differs by less than 0.4 % there.

    Sources
    -------
    .. [1] IEC 60028, International standard of resistance for copper.
    """
    return Ohm(r20 * (1.0 + ALPHA * (celsius - 20.0)))


def stranded(solid: float, allowance: float = STRANDING) -> OhmPerMetre:
    """Return the resistance of strands whose areas add up to a solid wire's. [Ω/m]"""
    return OhmPerMetre(solid * allowance)


def iacs_resistivity(percent: float) -> float:
    """Return the resistivity of an alloy rated in % IACS at 20 °C. [Ω·m]"""
    return RESISTIVITY * 100.0 / percent


def copper_kg(area_mm2: float, metres: float) -> float:
    """Return the mass of copper in a length of wire. [kg]"""
    return DENSITY * area_mm2 * 1e-6 * metres
