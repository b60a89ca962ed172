"""The filament of a lamp: what it lets through, cold and hot.

Hot, a tungsten filament's current goes with the 0.55th power of its volts; so
R(I) = R₀·(I/I₀)^(1/0.55 − 1), R₀ = V₀/I₀ at its rating. Cold it has a twelfth of
that. Between the two the law is followed down to where it meets the cold
resistance. The volts across it rise with the current throughout, so that there is
one current only for each source before it.

Sources
-------
.. [1] Lamp rerating: current by (V/V₀)^0.55, as an open encyclopedia has it
   ("Lamp rerating"); exponents vary a little with the lamp.
.. [2] Cold: 10 to 15 times the rated current at switching on (a published
   installation guide), about 14 times (a lamp collection's page on starting);
   tungsten 5.65 µΩcm at 300 K and 73.9 at 2500 K, 13 times (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

EXPONENT = 0.55
"""Of the volts, in the current of a hot filament. [1]"""

COLD_RATIO = 12.0
"""Rated resistance over that of the cold filament. [1]"""

WARM_S = 0.25
"""How long a lamp of some 20 W takes to hold a short back: a booster that waits less
trips on its cold current (hobby practice). [s]"""

STEPS = 60
"""Halvings of the interval that the current is sought in."""


@dataclass(frozen=True, slots=True)
class Filament:
    """A lamp by its rating. [V, A]"""

    volts_v: float
    amps_a: float

    @property
    def hot_ohm(self) -> float:
        """Its resistance at its rating. [Ω]"""
        return self.volts_v / self.amps_a

    @property
    def cold_ohm(self) -> float:
        """Its resistance when it has not been lit. [Ω]"""
        return self.hot_ohm / COLD_RATIO

    def ohm_at(self, amps: float) -> float:
        """Return its resistance once it has settled at a current. [Ω]"""
        return float(self.ohms_at(np.array([amps]))[0])

    def ohms_at(self, amps: Floats) -> Floats:
        """Return the same for many currents."""
        share = np.abs(amps) / self.amps_a
        hot = self.hot_ohm * share ** (1.0 / EXPONENT - 1.0)
        return np.maximum(hot, self.cold_ohm)

    def loss_at(self, amps: float) -> float:
        """Return the volts that it takes at a current. [V]"""
        return amps * self.ohm_at(amps)


def amps_through(lamps: Sequence[Filament], volts: Floats, ohm: Floats) -> Floats:
    """Return the current that settles in lamps in series with a source.

    Parameters
    ----------
    volts : float64 array, shape (P,)
        Open volts of the source. [V]
    ohm : float64 array, shape (P,)
        Resistance beside the lamps, not negative. [Ω]

    Returns
    -------
    float64 array, shape (P,)
        I with I·R + Σ V(I) = U, by halving: the left side rises with I. [A]
    """
    cold = sum(lamp.cold_ohm for lamp in lamps)
    low = np.zeros_like(volts)
    high = volts / (ohm + cold)
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        taken = middle * (ohm + sum(lamp.ohms_at(middle) for lamp in lamps))
        more = taken < volts
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return 0.5 * (low + high)
