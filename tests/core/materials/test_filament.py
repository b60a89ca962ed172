"""The filament of a lamp against its rating, published figures and hand sums."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.materials.filament import COLD_RATIO, Filament, amps_through

CAR = Filament(12.8, 2.1)
"""The lamp of the published page on lamp limiters: 12.8 V, 2.1 A."""


def test_at_its_rating_it_has_its_rating() -> None:
    assert CAR.ohm_at(2.1) == pytest.approx(12.8 / 2.1)
    assert CAR.loss_at(2.1) == pytest.approx(12.8)


def test_current_goes_with_the_055th_power_of_volts() -> None:
    # "Lamp rerating" (open encyclopedia): current by (Va/Vd)^0.55. At 90 % of the
    # volts 2.1 · 0.9^0.55 = 1.982 A; put in, those must take 0.9 · 12.8 = 11.52 V.
    assert CAR.loss_at(2.1 * 0.9**0.55) == pytest.approx(11.52)


def test_power_goes_with_about_the_16th_power_of_volts() -> None:
    # The same page, an exponent of its own: power by (Va/Vd)^1.6, within 1 % at 90 %.
    amps = 2.1 * 0.9**0.55
    assert amps * CAR.loss_at(amps) / (2.1 * 12.8) == pytest.approx(0.9**1.6, rel=0.01)


def test_cold_it_draws_ten_to_fifteen_times_its_current() -> None:
    # A published installation guide: 10 to 15 times the rated current at first. A
    # published 2.9 V 0.30 A pocket lamp of 1.1 Ω cold: 9.7 / 1.1 = 8.8 times.
    assert 10.0 <= 12.8 / CAR.cold_ohm / 2.1 <= 15.0
    assert Filament(2.9, 0.30).cold_ohm == pytest.approx(1.1, rel=0.30)


def test_n78_test_lamp() -> None:
    # needs.md N78: a 12 V 21 W lamp draws 1.8 to 1.9 A, at 12 to 14 V (21/12 = 1.75).
    lamp = Filament(12.0, 21.0 / 12.0)
    (amps,) = amps_through([lamp], np.array([13.5]), np.array([0.1]))
    assert 1.8 <= amps <= 1.9


def test_the_current_behind_a_source_is_the_one_that_adds_up() -> None:
    # By hand: 2.10 A take 12.8 V; with 1 Ω beside, a source of 14.9 V gives just that.
    (amps,) = amps_through([CAR], np.array([14.9]), np.array([1.0]))
    assert amps == pytest.approx(2.1, rel=1e-9)


def test_a_little_current_meets_the_cold_filament() -> None:
    # Below I₀/12^(0.55/0.45) = 0.10 A the cold resistance of 0.508 Ω counts.
    assert CAR.ohm_at(0.01) == pytest.approx(12.8 / 2.1 / COLD_RATIO)
    (amps,) = amps_through([CAR], np.array([0.02]), np.array([0.0]))
    assert amps == pytest.approx(0.02 / 0.5079, rel=1e-3)


def test_two_lamps_in_a_row_share_the_volts() -> None:
    # Two alike behind 25.6 V: each at its rating.
    (amps,) = amps_through([CAR, CAR], np.array([25.6]), np.array([0.0]))
    assert amps == pytest.approx(2.1, rel=1e-9)


@given(st.floats(0.5, 30.0), st.floats(0.01, 100.0), st.floats(0.1, 40.0))
def test_there_is_one_current_only(volts: float, ohm: float, more: float) -> None:
    sources = np.array([volts, volts + more])
    low, high = amps_through([CAR], sources, np.array([ohm, ohm]))
    assert high > low
    assert low * ohm + CAR.loss_at(float(low)) == pytest.approx(volts, rel=1e-6)
