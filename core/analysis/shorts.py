"""Short circuits as they are: a square wave through resistance and inductance.

The track signal reverses every half-bit (NMRA S-9.1: 58 µs for a one, 100 µs
for a zero), so a coin on the rails meets R and L. Each odd harmonic n of a half
bit T has ω = πn/T and amplitude 4V/(πn); the circuit answers it with Z(ω). What
lies above the last harmonic is added in closed form, for the R and L seen at
that harmonic; for one R and one L the whole is therefore exact:

    i(t) = (V/R)·(1 − 2·e^(−t/τ) / (1 + e^(−T/τ))),  0 ≤ t ≤ T,  τ = L/R,
    rms = (V/R)·√(1 − (2τ/T)·tanh(T/2τ)),  peak = (V/R)·tanh(T/2τ).

Left out: coupling between bus and track, limiting by the booster, arcs. Boosters of
unequal volts are taken at their common open voltage.

Left out too: skin effect. It raises a wire's resistance (at 8.6 kHz by 3 % at 14 AWG,
8 % at 12, 19 % at 10 AWG, 21 % at 6 mm², 47 % at 10 mm²) and takes from the inductance
inside it; the two work against each other in a short. For a lone round wire with both,
against neither, behind 0.05 to 1 Ω, 0.3 to 100 m long, twisted or 100 mm apart, mean,
rms and peak of a short differ by

    up to 14 AWG and 2.5 mm²      −1.0 to +0.3 %
    up to 10 AWG and 6 mm²        −1.5 to +1.6 %
    10 mm², the thickest listed   −1.8 to +4.2 %

(more for the longest, where inductance rules). Raising the resistance alone would be
off by up to 5 % the other way. Wires that touch crowd each other's current besides,
by as much again; no closed form is at hand for that.
"""

from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np

from core.analysis.ordering import Ints
from core.analysis.scan import loop_terms
from core.analysis.selected import Factor, Numbers, Pattern
from core.analysis.system import Floats, System, fill_pattern
from core.materials.signal import HALF_BIT_ONE_S, HALF_BIT_ZERO_S

HARMONICS = 8
"""Odd harmonics of each half-bit that are solved one by one."""

STEPS = 64
"""Instants of a half-bit at which currents are added up."""

ORDERS = 2 * np.arange(HARMONICS) + 1
HALF_BITS = (HALF_BIT_ONE_S, HALF_BIT_ZERO_S)
OMEGAS: Floats = np.concatenate([np.pi * ORDERS / t for t in HALF_BITS])
"""Angular frequencies solved, those of ones first, shape (16,). [1/s]"""


@dataclass(frozen=True, slots=True)
class Waves:
    """Impedances of every segment at every harmonic.

    Attributes
    ----------
    terms : complex128 array, shape (3, S, 16)
        As `loop_terms`, at `OMEGAS`. [Ω]
    rails : complex128 array, shape (S, 16)
        Of both rails of each segment. [Ω]
    factor : Factor
        The equations at every harmonic, kept for questions asked later.
    """

    terms: Numbers
    rails: Numbers
    factor: Factor

    def impedance(self, segments: Ints, t: Floats) -> Numbers:
        """Return the loop impedance at fractions t of segments, shape (P, 16). [Ω]."""
        s = t[:, None]
        a, cross, b = (term[segments] for term in self.terms)
        z: Numbers = (
            (1 - s) ** 2 * a
            + 2 * s * (1 - s) * cross
            + s**2 * b
            + s * (1 - s) * self.rails[segments]
        )
        return z


@dataclass(frozen=True, slots=True)
class Shorts:
    """Short-circuit currents at P places, shape (P,) each. [A]."""

    rms_ones: Floats
    rms_zeros: Floats
    mean_ones: Floats
    mean_zeros: Floats
    peak_ones: Floats
    peak_zeros: Floats

    def sensed(self, sensing: str) -> Floats:
        """Return the current as a device senses it, in the worse of ones and zeros."""
        ones, zeros = {
            "average": (self.mean_ones, self.mean_zeros),
            "rms": (self.rms_ones, self.rms_zeros),
            "peak": (self.peak_ones, self.peak_zeros),
        }[sensing]
        return np.minimum(ones, zeros)


def solve_waves(system: System, pattern: Pattern) -> Waves:
    """Return the impedances of every segment at every harmonic."""
    admittance = 1.0 / (
        system.ohm[:, None] + 1j * OMEGAS[None, :] * system.henry[:, None]
    )
    factor = pattern.factor(fill_pattern(system, pattern, admittance))
    inverse = factor.selected_inverse()
    segments = system.circuit.segments
    ohm = np.array([s.ohm_left + s.ohm_right for s in segments])
    henry = np.array([s.henry for s in segments])
    rails = ohm[:, None] + 1j * OMEGAS[None, :] * henry[:, None]
    return Waves(loop_terms(system, pattern, inverse), rails, factor)


def short_currents(
    volts: Floats, impedance: Numbers, share: Numbers | None = None
) -> Shorts:
    """Return the currents of shorts, or what one device carries of them.

    Parameters
    ----------
    volts : float64 array, shape (P,)
        Open voltage at each place, half of peak to peak. [V]
    impedance : complex128 array, shape (P, 16)
        Loop impedance at `OMEGAS`. [Ω]
    share : complex128 array, shape (P, 16), optional
        What the device carries of each harmonic; above the last as of the last. [1]
    """
    if share is None:
        share = np.ones((1, 2 * HARMONICS))
    one, zero = slice(0, HARMONICS), slice(HARMONICS, None)
    ones = _half_bit(volts, impedance[:, one], share[:, one], HALF_BIT_ONE_S)
    zeros = _half_bit(volts, impedance[:, zero], share[:, zero], HALF_BIT_ZERO_S)
    return Shorts(ones[0], zeros[0], ones[1], zeros[1], ones[2], zeros[2])


def _half_bit(
    volts: Floats, impedance: Numbers, share: Numbers, half_bit_s: float
) -> tuple[Floats, Floats, Floats]:
    """Return rms, rectified mean and peak over one half-bit. [A]."""
    omega: Floats = np.asarray(np.pi * ORDERS / half_bit_s, np.float64)
    resistance = np.maximum(impedance[:, -1].real, 1e-9)
    inductance = np.maximum(impedance[:, -1].imag / omega[-1], 1e-15)
    fitted = resistance[:, None] + 1j * omega * inductance[:, None]
    amplitude = 4.0 * volts[:, None] / (np.pi * ORDERS)
    rest = share[:, -1].real
    correction = amplitude * (share / impedance - rest[:, None] / fitted)
    times = half_bit_s * (np.arange(STEPS) + 0.5) / STEPS
    current = rest[:, None] * _rl_current(
        volts, resistance, inductance, half_bit_s, times
    )
    current += _sum_up(correction, omega, times)
    last = np.array([half_bit_s])
    end = rest[:, None] * _rl_current(volts, resistance, inductance, half_bit_s, last)
    end += _sum_up(correction, omega, last)
    power = rest**2 * _rl_square(volts, resistance, inductance, half_bit_s)
    power += 0.5 * (
        np.abs(share * amplitude / impedance) ** 2
        - np.abs(rest[:, None] * amplitude / fitted) ** 2
    ).sum(axis=1)
    peak = np.maximum(np.abs(current).max(axis=1), np.abs(end[:, 0]))
    return np.sqrt(np.maximum(power, 0.0)), np.abs(current).mean(axis=1), peak


def _sum_up(phasors: Numbers, omega: Floats, times: Floats) -> Floats:
    """Return Σ Im(p·e^jωt), shape (P, times)."""
    turns = np.exp(1j * np.outer(omega, times))
    total: Floats = (phasors @ turns).imag
    return total


def _rl_current(
    volts: Floats, ohm: Floats, henry: Floats, half_bit_s: float, times: Floats
) -> Floats:
    """Return i(t) of one R and L under a square wave, shape (P, times). [A]."""
    rate = (ohm / henry)[:, None]
    decay = 2.0 * np.exp(-rate * times) / (1.0 + np.exp(-rate * half_bit_s))
    current: Floats = (volts / ohm)[:, None] * (1.0 - decay)
    return current


def _rl_square(volts: Floats, ohm: Floats, henry: Floats, half_bit_s: float) -> Floats:
    """Return the mean square current of one R and L under a square wave. [A²]."""
    x = half_bit_s * ohm / (2.0 * henry)
    # 1 − tanh(x)/x loses its digits for small x: there it is x²/3 − 2x⁴/15.
    small = x < 1e-2
    safe = np.where(small, 1.0, x)
    shape = np.where(small, x**2 / 3.0 - 2.0 * x**4 / 15.0, 1.0 - np.tanh(safe) / safe)
    square: Floats = (volts / ohm) ** 2 * shape
    return square


def limit_of(rms_a: float, resistive_a: float) -> Literal["resistance", "inductance"]:
    """Return what holds a short current down.

    Inductance, where it takes the current under 1/√2 of what resistance alone
    lets through: there reactance is the larger part of the impedance.
    """
    return "inductance" if rms_a < resistive_a / sqrt(2.0) else "resistance"
