"""Square-wave shorts against closed forms and a time-step simulation."""

from itertools import product
from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.special import jve

from core.analysis.shorts import OMEGAS, short_currents
from core.materials.pair import loop_inductance_of_bus
from core.materials.wires import WIRES

ONE_S, ZERO_S = 58e-6, 100e-6
"""Half-bits of a one and a zero: NMRA S-9.1 table 1."""


def series(
    ohm: float, henry: float
) -> "np.ndarray[tuple[int, int], np.dtype[np.complex128]]":
    return np.asarray((ohm + 1j * OMEGAS * henry)[None, :])


def closed_rms(volts: float, ohm: float, henry: float, half_bit: float) -> float:
    """Irms = (V/R)·√(1 − (2τ/T)·tanh(T/2τ)): design.md 2.4, derived from i(t)."""
    tau = henry / ohm
    return (
        volts
        / ohm
        * float(np.sqrt(1 - 2 * tau / half_bit * np.tanh(half_bit / 2 / tau)))
    )


@given(st.floats(0.02, 3.0), st.floats(0.5e-6, 150e-6), st.floats(8.0, 22.0))
@settings(max_examples=60, deadline=None)
def test_one_r_and_one_l_give_the_closed_form(
    ohm: float, henry: float, volts: float
) -> None:
    found = short_currents(np.array([volts]), series(ohm, henry))
    assert found.rms_ones[0] == pytest.approx(
        closed_rms(volts, ohm, henry, ONE_S), rel=1e-6
    )
    assert found.rms_zeros[0] == pytest.approx(
        closed_rms(volts, ohm, henry, ZERO_S), rel=1e-6
    )
    peak = volts / ohm * np.tanh(ONE_S * ohm / 2 / henry)
    assert found.peak_ones[0] == pytest.approx(peak, rel=1e-6)


def test_needs_3_6_40_m_of_loose_bus() -> None:
    # needs.md 3.6, time-step simulation: 0.81 Ω, 81 µH, 15 V: 3.05 A rms and
    # 5.2 A peak for ones, 5.10 and 8.6 for zeros. Printed to two or three
    # digits there; by the closed form 3.048, 5.17 and 5.107, 8.55.
    found = short_currents(np.array([15.0]), series(0.81, 81e-6))
    assert found.rms_ones[0] == pytest.approx(3.05, abs=0.01)
    assert found.rms_zeros[0] == pytest.approx(5.10, abs=0.02)
    assert found.peak_ones[0] == pytest.approx(5.2, abs=0.05)
    assert found.peak_zeros[0] == pytest.approx(8.6, abs=0.06)


def test_without_inductance_it_is_ohms_law() -> None:
    found = short_currents(np.array([15.0]), series(0.5, 0.0))
    for amps in (found.rms_ones, found.mean_zeros, found.peak_ones):
        assert amps[0] == pytest.approx(30.0, rel=1e-6)


def test_as_resistance_vanishes_inductance_is_the_limit() -> None:
    # needs.md 3.6: the peak tends to V·T/(2L), whatever the copper.
    found = short_currents(np.array([15.0]), series(1e-4, 80e-6))
    assert found.peak_ones[0] == pytest.approx(15.0 * ONE_S / (2 * 80e-6), rel=1e-3)


def stepped(half_bit: float) -> tuple[float, float, float]:
    """Simulate two coupled meshes with a square wave: rms, mean, peak.

    Booster 0.1 Ω; bus 0.3 Ω, 40 µH; at its end the short, through 0.2 Ω and
    5 µH, and beside it a rail bond of 0.6 Ω and 2 µH to the booster's terminals,
    so that the loop has no single R and L. Trapezoid rule, 20,000 steps a
    half-bit, until the wave repeats itself.
    """
    volts, steps = 15.0, 20_000
    # Meshes: booster-bus-short (i1) and bond-short (i2); both return by the short.
    r = np.array([[0.1 + 0.3 + 0.2, 0.1 + 0.2], [0.1 + 0.2, 0.1 + 0.6 + 0.2]])
    l = np.array([[45e-6, 5e-6], [5e-6, 7e-6]])  # noqa: E741 - the law's letter
    dt = half_bit / steps
    forward = np.linalg.inv(l / dt + r / 2)
    back = l / dt - r / 2
    i = np.zeros(2)
    trace: list[float] = []
    for _ in range(30):
        trace.clear()
        for _ in range(steps):
            i = forward @ (back @ i + volts)
            trace.append(float(i.sum()))
        volts = -volts
    wave = np.array(trace)
    return (
        float(np.sqrt((wave**2).mean())),
        float(np.abs(wave).mean()),
        float(np.abs(wave).max()),
    )


@pytest.mark.slow
def test_two_paths_against_a_time_step_simulation() -> None:
    # An independent method, written only here.
    def parallel(omega: float) -> complex:
        bus, bond = 0.3 + 1j * omega * 40e-6, 0.6 + 1j * omega * 2e-6
        return 0.1 + 0.2 + 1j * omega * 5e-6 + bus * bond / (bus + bond)

    impedance = np.array([[parallel(w) for w in OMEGAS]])
    found = short_currents(np.array([15.0]), impedance)
    rms, mean, peak = stepped(ONE_S)
    assert found.rms_ones[0] == pytest.approx(rms, rel=2e-3)
    assert found.mean_ones[0] == pytest.approx(mean, rel=2e-3)
    assert found.peak_ones[0] == pytest.approx(peak, rel=2e-3)


LENGTHS_M = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0)
LAYS: tuple[Literal["twisted", "apart"], ...] = ("twisted", "apart")
SUPPLIES_OHM = (0.05, 0.2, 0.5, 1.0)


def inside(ohm_per_m: float) -> NDArray[np.complex128]:
    """Return what the metal of a lone round wire has at `OMEGAS`, over its own R.

    Z/R = z/2 · J₀(z)/J₁(z), z = (1 − j)·a/δ. With R = ρ/(π·a²) a metre and
    δ² = 2ρ/(ω·µ₀), (a/δ)² = ω·µ₀/(2π·R): of strands that touch only R is needed. The
    resistance is the real part, the reactance the other: ω·µ₀/8π a metre of wire at
    first (textbook: S. Ramo, J. R. Whinnery, T. Van Duzer, Fields and Waves, from memory).
    """
    z = (1.0 - 1.0j) * np.sqrt(4e-7 * np.pi * OMEGAS / (2.0 * np.pi * ohm_per_m))
    return np.asarray(0.5 * z * jve(0, z) / jve(1, z), np.complex128)


@pytest.mark.parametrize(
    ("ohm_per_m", "least", "most"),
    [
        (0.0070, -0.01, 0.003),  # 14 AWG, 2.5 mm² and thinner
        (0.0030, -0.015, 0.016),  # 10 AWG, 6 mm² and thinner
        (0.0, -0.018, 0.042),  # all
    ],
)
def test_skin_effect_is_as_small_as_is_said_in_every_wire_listed(
    ohm_per_m: float, least: float, most: float
) -> None:
    plain, true = [], []
    spools = [spool for spool in WIRES.values() if spool.ohm_per_m >= ohm_per_m]
    for spool, length, supply, lay in product(spools, LENGTHS_M, SUPPLIES_OHM, LAYS):
        metal = 2.0 * spool.ohm_per_m * length
        henry = loop_inductance_of_bus(spool, lay, 0.1) * length
        plain.append(supply + metal + 1j * OMEGAS * henry)
        # 0.1 µH/m of the loop is inside both wires at low frequency.
        outer = 1j * OMEGAS * (henry - 1e-7 * length)
        true.append(supply + metal * inside(spool.ohm_per_m) + outer)
    volts = np.full(len(plain), 15.0)
    told, real = (short_currents(volts, np.array(z)) for z in (plain, true))
    found = np.concatenate(
        [
            real.sensed(how) / told.sensed(how) - 1.0
            for how in ("average", "rms", "peak")
        ]
    )
    assert len(found) > 1000
    assert least <= found.min() < 0.6 * least
    assert 0.6 * most < found.max() <= most
