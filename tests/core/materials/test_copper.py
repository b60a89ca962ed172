"""Copper by area, temperature and strands, against published figures."""

import pytest

from core.materials import awg
from core.materials.copper import (
    RESISTIVITY,
    at_temperature,
    iacs_resistivity,
    resistance_per_metre,
    stranded,
)

FEET_PER_KM = 1000 / 0.3048


def ohm_per_kft(gauge: int) -> float:
    return resistance_per_metre(awg.area(gauge)) * 304.8


def test_resistivity_is_that_of_iacs_copper() -> None:
    # IEC 60028: 58 MS/m, so 1.724138e-8 Ω·m (check 12; quoted by copper.org).
    assert pytest.approx(1.724138e-8, abs=1e-13) == RESISTIVITY


@pytest.mark.parametrize(
    ("gauge", "published"),
    [
        # Handbook table of copper wire, ohm a thousand feet at 20 °C
        # (hyperphysics wire-gauge page, checks 5 to 11).
        (8, 0.6282),
        (10, 0.9989),
        (12, 1.588),
        (14, 2.525),
        (16, 4.016),
        (18, 6.385),
        (20, 10.15),
        (22, 16.14),
        (24, 25.67),
        (26, 40.81),
        (28, 64.9),
        (30, 103.2),
    ],
)
def test_gauges_have_the_handbook_resistance(gauge: int, published: float) -> None:
    assert ohm_per_kft(gauge) == pytest.approx(published, rel=1e-3)


def test_12_gauge_has_the_published_diameter_and_area() -> None:
    # Checks 3 and 4: 0.0808 in (hyperphysics), 6529.9 cmil (cirris.com table);
    # 3.309 mm² by hand from it: 6529.9 · π/4 · 0.0254².
    assert awg.diameter(12) / 0.0254 == pytest.approx(0.08081, abs=5e-6)
    assert awg.circular_mils(12) == pytest.approx(6529.9, abs=0.1)
    assert awg.area(12) * 1e6 == pytest.approx(3.309, abs=0.001)


def test_hot_copper_resists_more() -> None:
    # By hand: 1 + 0.00393 · 55 = 1.21615 (check 13).
    assert at_temperature(1.0, 75.0) == pytest.approx(1.21615, abs=1e-5)


def test_temperature_law_agrees_with_the_iec_60228_factors() -> None:
    # IEC 60228 factors to 20 °C, as a cable maker prints them; they come from
    # 0.004 per kelvin, so allow 0.4 %.
    for celsius, factor in ((30, 0.962), (40, 0.926), (50, 0.893), (75, 0.820)):
        assert 1.0 / at_temperature(1.0, celsius) == pytest.approx(factor, rel=4e-3)


def test_hot_strands_agree_with_the_code_table() -> None:
    # NEC chapter 9 table 8: 16 AWG stranded at 75 °C is 4.99 ohm/kft, as a worked
    # example quotes it (check 14).
    hot = at_temperature(stranded(ohm_per_kft(16)), 75.0)
    assert hot == pytest.approx(4.99, rel=5e-3)


@pytest.mark.parametrize(
    ("percent", "microhm_cm", "tolerance"),
    [
        # Mill data sheets of C77000, C26000 and C70600 (checks 40 to 42).
        (5.5, 31.4, 0.1),
        (28.0, 6.16, 0.01),
        (9.0, 19.1, 0.1),
    ],
)
def test_alloys_have_the_data_sheets_resistivity(
    percent: float, microhm_cm: float, tolerance: float
) -> None:
    assert iacs_resistivity(percent) * 1e8 == pytest.approx(microhm_cm, abs=tolerance)


@pytest.mark.parametrize(("gauge", "amps"), [(14, 5.9), (22, 0.92)])
def test_700_circular_mils_an_ampere(gauge: int, amps: float) -> None:
    # Handbook of Electronic Tables, as a hobby page quotes it; by hand 5.87 and
    # 0.918 A (check 24).
    assert awg.amps_by_circular_mils(gauge) == pytest.approx(amps, abs=0.04)
    by_hand = {14: 4106.7 / 700, 22: 642.4 / 700}[gauge]
    assert awg.amps_by_circular_mils(gauge) == pytest.approx(by_hand, rel=1e-4)
