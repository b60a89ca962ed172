"""Skin effect, against published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.materials.awg import diameter
from core.materials.copper import iacs_resistivity
from core.materials.skin import ac_factor, skin_depth


def test_10_gauge_at_100_khz_has_the_handbooks_factor() -> None:
    # Terman's table 3.35, theory 3.36, as a forum quotes both (check 30).
    assert ac_factor(diameter(10), 100e3) == pytest.approx(3.361, rel=5e-3)


@pytest.mark.parametrize(
    ("gauge", "factor"),
    [
        # Derived apart from this program from the Bessel functions (check 31 and its
        # neighbours). By hand for 14 AWG: x = 1.6277/(√2 · 0.712) = 1.617, and
        # 1 + x⁴/192 - x⁸/46080 = 1.0356 - 0.0010 = 1.0346.
        *((10, 1.193), (12, 1.084), (14, 1.035), (16, 1.014), (18, 1.006)),
    ],
)
def test_factors_at_the_signals_frequency(gauge: int, factor: float) -> None:
    assert ac_factor(diameter(gauge), 8620.7) == pytest.approx(factor, abs=0.002)


def test_thin_wire_follows_the_series() -> None:
    # Rac/Rdc = 1 + x⁴/192 for small x, x = d/(√2·δ): an independent expansion.
    wire_m, hertz = 0.5e-3, 8620.7
    x = wire_m / (2**0.5 * skin_depth(hertz))
    assert ac_factor(wire_m, hertz) == pytest.approx(1 + x**4 / 192, abs=1e-6)


def test_thick_wire_carries_in_a_thin_skin() -> None:
    # For δ far below the radius: Rac/Rdc = a/(2δ) + 1/4, textbook limit.
    wire_m, hertz = 0.01, 1e7
    limit = 0.005 / (2 * skin_depth(hertz)) + 0.25
    assert ac_factor(wire_m, hertz) == pytest.approx(limit, rel=1e-3)


@pytest.mark.parametrize(
    ("hertz", "millimetres", "tolerance"),
    [
        # Rule of 66 mm/√f, a published note: 0.2087 at 100 kHz; by hand 0.2090
        # (check 32). The others by hand, √(ρ/(π f µ0)).
        (100e3, 0.2090, 5e-4),
        (60.0, 8.53, 5e-3),
        (8620.7, 0.712, 1e-3),
        (5000.0, 0.935, 1e-3),
    ],
)
def test_skin_depth_of_copper(
    hertz: float, millimetres: float, tolerance: float
) -> None:
    assert skin_depth(hertz) * 1e3 == pytest.approx(millimetres, abs=tolerance)


def test_nickel_silver_rail_needs_no_correction() -> None:
    # By hand: 8 % IACS has 12.5 times the resistivity, so √12.5 · 0.712 = 2.52 mm.
    alloy = iacs_resistivity(8.0)
    assert skin_depth(8620.7, alloy) * 1e3 == pytest.approx(2.52, abs=0.01)
    assert ac_factor(1.75e-3, 8620.7, alloy) < 1.001


def test_direct_current_fills_the_wire() -> None:
    assert ac_factor(2e-3, 0.0) == 1.0
    assert ac_factor(2e-6, 1.0) == 1.0


@given(st.floats(1e-5, 2e-2), st.floats(1.0, 1e9))
def test_resistance_never_falls_with_frequency(wire_m: float, hertz: float) -> None:
    factor = ac_factor(wire_m, hertz)
    assert 1.0 - 1e-12 <= factor <= ac_factor(wire_m, 1.5 * hertz) + 1e-12
