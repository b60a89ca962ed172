"""Inductance, capacitance and impedance of two parallel conductors."""

import math
from typing import Literal

from core.materials.rails import Rail
from core.materials.wires import Wire
from core.units.si import FaradPerMetre, HenryPerMetre, Metre, Ohm

Lay = Literal["twisted", "side by side", "apart"]

MU_0 = 4e-7 * math.pi
"""Permeability of free space. [H/m]"""

EPSILON_0 = 8.8541878128e-12
"""Permittivity of free space (CODATA 2018). [F/m]"""

INTERNAL = 1e-7
"""Inductance inside both of two round wires at low frequency. [H/m]"""

TOUCHING_PERMITTIVITY = 2.7
"""Two PVC wires touching, air between: a choice between 2.3 and 3.6. [1]"""


def pair_inductance(spacing_m: float, diameter_m: float) -> HenryPerMetre:
    """Return the loop inductance of two round wires at low frequency. [H/m]

    L = 0.4 · acosh(D / d) + 0.1 µH/m

    Parameters
    ----------
    spacing_m : float
        Centre to centre, at least a diameter. [m]
    diameter_m : float
        Of the bare conductor. [m]

    Notes
    -----
    The 0.1 holds while the skin depth is above the radius (0.71 mm at
    8.6 kHz); above that it shrinks, which errs on the side of too weak a short.
    """
    return HenryPerMetre(external_inductance(spacing_m, diameter_m) + INTERNAL)


def external_inductance(spacing_m: float, diameter_m: float) -> HenryPerMetre:
    """Return the part of a pair's inductance outside its wires. [H/m]"""
    return HenryPerMetre(MU_0 / math.pi * _acosh_ratio(spacing_m, diameter_m))


def pair_capacitance(
    spacing_m: float, diameter_m: float, permittivity: float = 1.0
) -> FaradPerMetre:
    """Return the capacitance between two round wires, C = π·ε / acosh(D/d). [F/m]"""
    whole = math.pi * EPSILON_0 * permittivity
    return FaradPerMetre(whole / _acosh_ratio(spacing_m, diameter_m))


def pair_impedance(
    spacing_m: float, diameter_m: float, permittivity: float = 1.0
) -> Ohm:
    """Return the wave impedance of two round wires, √(L/C). [Ω]"""
    inductance = external_inductance(spacing_m, diameter_m)
    capacitance = pair_capacitance(spacing_m, diameter_m, permittivity)
    return Ohm(math.sqrt(inductance / capacitance))


def loop_inductance_of_bus(wire: Wire, lay: Lay, spacing_m: float) -> HenryPerMetre:
    """Return the loop inductance of a bus by its one-way length. [H/m]

    Parameters
    ----------
    wire : Wire
        Both conductors.
    lay : "twisted", "side by side" or "apart"
        Twisted and side by side both touch; a pair that is only laid side by
        side and not tied will wander, so call it "apart" then.
    spacing_m : float
        Centre to centre when apart; used when above touching. [m]
    """
    spacing = bus_spacing(wire, lay, spacing_m)
    return pair_inductance(spacing, wire.diameter_mm / 1e3)


def loop_capacitance_of_bus(wire: Wire, lay: Lay, spacing_m: float) -> FaradPerMetre:
    """Return the capacitance between a bus's conductors. [F/m]

    Notes
    -----
    Published nominals of twisted pairs: 33 to 66 pF/m; a rough figure.
    """
    spacing = bus_spacing(wire, lay, spacing_m)
    permittivity = 1.0 if lay == "apart" else TOUCHING_PERMITTIVITY
    return pair_capacitance(spacing, wire.diameter_mm / 1e3, permittivity)


def bus_spacing(wire: Wire, lay: Lay, spacing_m: float) -> Metre:
    """Return the distance between the centres of a bus's conductors. [m]"""
    touching = wire.overall_mm / 1e3
    return Metre(max(spacing_m, touching) if lay == "apart" else touching)


def track_inductance(gauge_m: float, rail: Rail) -> HenryPerMetre:
    """Return the loop inductance of a track's two rails. [H/m]

    A rail counts as a round conductor of equal area; the gauge is measured
    between the heads, so centres are a head's width further apart.

    Notes
    -----
    About 5 % high for a section taller than it is wide.
    """
    diameter_m = math.sqrt(4.0 * rail.area_mm2 / math.pi) / 1e3
    return pair_inductance(gauge_m + max(rail.head, 0.5 * diameter_m), diameter_m)


def _acosh_ratio(spacing_m: float, diameter_m: float) -> float:
    assert spacing_m >= diameter_m > 0.0, "conductors overlap"
    return math.acosh(spacing_m / diameter_m)
