"""Skin effect in round conductors."""

import math

import numpy as np

from core.materials.copper import RESISTIVITY
from core.materials.pair import MU_0
from core.units.si import Metre


def skin_depth(frequency_hz: float, resistivity: float = RESISTIVITY) -> Metre:
    """Return the depth at which the current has fallen to 1/e. [m]

    δ = √(ρ / (π · f · µ0))

    Parameters
    ----------
    frequency_hz : float
        Above zero. [Hz]
    resistivity : float
        Of the conductor, not magnetic. [Ω·m]
    """
    return Metre(math.sqrt(resistivity / (math.pi * frequency_hz * MU_0)))


def ac_factor(
    diameter_m: float, frequency_hz: float, resistivity: float = RESISTIVITY
) -> float:
    """Return how much a round wire's resistance grows with frequency. [1]

    Rac/Rdc = Re( z/2 · J0(z) / J1(z) ),  z = (1 - j) · a / δ,  a the radius

    Parameters
    ----------
    diameter_m : float
        Of the bare conductor. [m]
    frequency_hz : float
        Zero gives 1. [Hz]
    resistivity : float
        Of the conductor, not magnetic. [Ω·m]

    Notes
    -----
    Checks what `core.analysis.shorts` leaves out; no figure of a study uses it.
    A wire alone: the neighbour's field (proximity) is left out; it adds to
    this in thick touching wires. Nickel-silver rail needs no correction: its
    skin depth at 8.6 kHz is 2.5 mm, more than half the section.
    """
    from scipy.special import jve  # noqa: PLC0415  (late: start-up time)

    if frequency_hz <= 0.0:
        return 1.0
    radius_in_depths = 0.5 * diameter_m / skin_depth(frequency_hz, resistivity)
    z = np.complex128((1.0 - 1.0j) * radius_in_depths)
    if abs(z) < 1e-3:
        return 1.0
    return float((0.5 * z * jve(0, z) / jve(1, z)).real)
