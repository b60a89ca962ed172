"""What rails stand, for good and in a short: no standard rates them.

A rail that carries I warms until the air takes I²·R′ of each metre; in a short no
heat leaves it and it warms by I²·t·R′ / (c·S). Both are worked out for a round bar
of the rail's area, which has the least surface.

Sources
-------
.. [1] S. W. Churchill, H. H. S. Chu, Correlating equations for laminar and turbulent
   free convection from a horizontal cylinder, Int. J. Heat Mass Transfer 18 (1975),
   1049-1053.
"""

from math import pi, sqrt

from core.units.si import Ampere

MOST_RISE_K = 40.0
"""A rail may be so much warmer than the room, 65 °C in one of 25 °C: too warm to
hold, and still below where ties of plastic soften, some 80 °C from memory. [K] House
choice."""

HEAT_CAPACITY = 3.2e6
"""Of brass: 8.5 g/cm³ × 0.38 J/(g·K), a handbook's figures from memory; nickel
silver and steel have more. [J/(m³·K)]"""

PRANDTL = 0.705
_CONDUCTIVITY = 0.0277
_VISCOSITY = 1.75e-5
_WARM_K = 318.0
_GRAVITY = 9.81
"""Air at 45 °C, between the room and the rail: Prandtl number [1], W/(m·K), m²/s, K;
a textbook's figures from memory."""


def nusselt_of_cylinder(rayleigh: float, prandtl: float = PRANDTL) -> float:
    """Return how air cools a horizontal cylinder over what still air would do. [1]

    Nu = (0.60 + 0.387·Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))²

    Sources
    -------
    .. [1] Churchill and Chu (1975), equation for all flows.
    """
    shape = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return float((0.60 + 0.387 * rayleigh ** (1.0 / 6.0) / shape) ** 2)


def cooling_of_bar(diameter_m: float, rise_k: float = MOST_RISE_K) -> float:
    """Return what room air takes from a level round bar. [W/(m²·K)]"""
    diffusivity = _VISCOSITY / PRANDTL
    rayleigh = _GRAVITY / _WARM_K * rise_k * diameter_m**3 / (_VISCOSITY * diffusivity)
    return nusselt_of_cylinder(rayleigh) * _CONDUCTIVITY / diameter_m


def rail_amps(ohm_per_m: float, area_mm2: float) -> Ampere:
    """Return what one rail carries for good, `MOST_RISE_K` warmer than the room. [A]

    I = √(h·π·d·ΔT / R′), d that of a round bar of the area.
    """
    diameter_m = 2.0 * sqrt(area_mm2 / pi) * 1e-3
    watts_per_m = cooling_of_bar(diameter_m) * pi * diameter_m * MOST_RISE_K
    return Ampere(sqrt(watts_per_m / ohm_per_m))


def rail_let_through(ohm_per_m: float, area_mm2: float) -> float:
    """Return the I²·t that warms a rail by `MOST_RISE_K`, c·S·ΔT / R′. [A²s]"""
    return HEAT_CAPACITY * area_mm2 * 1e-6 * MOST_RISE_K / ohm_per_m
