"""Two parallel conductors, against published worked examples."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.materials.pair import (
    bus_spacing,
    external_inductance,
    loop_capacitance_of_bus,
    loop_inductance_of_bus,
    pair_capacitance,
    pair_impedance,
    pair_inductance,
    track_inductance,
)
from core.materials.rails import rail
from core.materials.scales import gauge_m
from core.materials.wires import WIRES, Wire, wire

INCH = 0.0254
OHM_120 = 120.0 / 119.9169832
"""The worked examples round η0/π to 120 Ω; by hand 376.730314 / π = 119.916983."""


@pytest.mark.parametrize(
    ("inches", "ohms"),
    [
        # Radio amateurs' worked examples for #12 wire, 0.0808 in (checks 25 and 27).
        (6.0, 600.076),
        (0.125, 120.402),
    ],
)
def test_wave_impedance_is_that_of_the_worked_examples(
    inches: float, ohms: float
) -> None:
    found = pair_impedance(inches * INCH, 0.0808 * INCH) * OHM_120
    assert found == pytest.approx(ohms, abs=0.01)


def test_the_radio_form_with_a_logarithm_holds_for_wide_spacing() -> None:
    # 276 log10(2D/d) = 599.408 for the same wire at 6 inch (check 26), 0.05 % off.
    found = pair_impedance(6.0 * INCH, 0.0808 * INCH)
    assert found == pytest.approx(599.408, rel=1e-3)


def test_two_metres_apart_is_the_worked_examples_loop() -> None:
    # 2 m apart, 1.2 cm wire: 2.423 mH/km, a textbook example (check 28). By hand
    # 0.4 · acosh(166.67) + 0.1 = 2.4236 µH/m.
    assert pair_inductance(2.0, 0.012) * 1e6 == pytest.approx(2.4236, abs=1e-3)


@given(st.floats(1.01, 1e4), st.floats(1e-4, 0.1))
def test_waves_between_bare_wires_travel_at_the_speed_of_light(
    ratio: float, diameter_m: float
) -> None:
    # Any two conductors in air: 1/√(LC) = c = 299 792 458 m/s (check 29).
    inductance = external_inductance(ratio * diameter_m, diameter_m)
    capacitance = pair_capacitance(ratio * diameter_m, diameter_m)
    speed = 1.0 / math.sqrt(inductance * capacitance)
    assert speed == pytest.approx(299_792_458.0, rel=1e-6)


@given(st.floats(1.01, 1e4))
def test_impedance_is_that_of_free_space_by_geometry(ratio: float) -> None:
    # η0/π · acosh(D/d), by hand 119.916983 (check 29).
    expected = 119.9169832 * math.acosh(ratio)
    assert pair_impedance(ratio * 1e-3, 1e-3) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("spacing_mm", "diameter_mm", "external"),
    [
        # By hand from 0.4 · acosh(D/d): 12 AWG at 4.1 mm, 14 AWG at 3.6, 50, 150 mm.
        (4.1, 2.0525, 0.526),
        (3.6, 1.6277, 0.573),
        (50.0, 1.6277, 1.65),
        (150.0, 1.6277, 2.09),
    ],
)
def test_inductance_outside_the_wires(
    spacing_mm: float, diameter_mm: float, external: float
) -> None:
    found = external_inductance(spacing_mm / 1e3, diameter_mm / 1e3)
    assert found * 1e6 == pytest.approx(external, abs=0.005)


def test_dielectric_slows_the_wave() -> None:
    # By hand: 27.82 · 2.5 / acosh(3.6/1.6277) = 48.6 pF/m; 109 Ω = 172/√2.5.
    assert pair_capacitance(3.6e-3, 1.6277e-3, 2.5) * 1e12 == pytest.approx(
        48.6, abs=0.05
    )
    assert pair_impedance(3.6e-3, 1.6277e-3, 2.5) == pytest.approx(108.6, abs=0.1)


@pytest.mark.parametrize(
    ("lay", "spacing_m", "microhenry"),
    [
        # needs.md 3.6 for 14 AWG: 0.62 twisted, 1.47, 2.0 and 2.5 apart. By hand
        # 0.4 · acosh(D / 1.628 mm) + 0.1 for the last three.
        ("twisted", 0.0, 0.62),
        ("side by side", 0.0, 0.62),
        ("apart", 0.025, 1.47),
        ("apart", 0.100, 2.02),
        ("apart", 0.300, 2.46),
    ],
)
def test_a_bus_has_the_inductance_of_its_lay(
    lay: str, spacing_m: float, microhenry: float
) -> None:
    chosen = wire("awg14-solid")
    match lay:
        case "apart":
            found = loop_inductance_of_bus(chosen, "apart", spacing_m)
        case "twisted":
            found = loop_inductance_of_bus(chosen, "twisted", spacing_m)
        case _:
            found = loop_inductance_of_bus(chosen, "side by side", spacing_m)
    assert found * 1e6 == pytest.approx(microhenry, abs=0.015)


def test_wires_apart_never_come_closer_than_touching() -> None:
    chosen = wire("2.5mm2-c5")
    assert bus_spacing(chosen, "apart", 0.0) == chosen.overall_mm / 1e3
    assert bus_spacing(chosen, "twisted", 0.5) == chosen.overall_mm / 1e3
    assert bus_spacing(chosen, "apart", 0.1) == 0.1


@pytest.mark.parametrize("each", list(WIRES.values()), ids=lambda w: w.id)
def test_every_touching_pair_is_a_plausible_line(each: Wire) -> None:
    # Forums and a cabling manual: twisted pairs of 75 to 150 Ω nominal, 33 to 66 pF/m;
    # thick wire in thin insulation runs below and above that.
    inductance = loop_inductance_of_bus(each, "twisted", 0.0)
    capacitance = loop_capacitance_of_bus(each, "twisted", 0.0)
    assert 0.45e-6 < inductance < 1.0e-6
    assert 33e-12 < capacitance < 90e-12


def test_pulling_a_pair_apart_frees_its_capacitance() -> None:
    # By hand: 27.82 / acosh(100/1.6277) = 5.8 pF/m.
    found = loop_capacitance_of_bus(wire("awg14-solid"), "apart", 0.1)
    assert found * 1e12 == pytest.approx(5.78, abs=0.02)


def test_track_is_a_pair_of_rails() -> None:
    # By hand for code 100 at 16.5 mm: equal-area round of 2.40 mm² is 1.748 mm,
    # centres 16.5 + 0.45 · 2.54 = 17.64; 0.4 · acosh(10.09) + 0.1 = 1.301 µH/m.
    # (needs.md 3.6 has "about 1.1", reference-data.md 1.20 outside the rails.)
    found = track_inductance(gauge_m("HO"), rail("code100-ns"))
    assert found * 1e6 == pytest.approx(1.301, abs=2e-3)


def test_track_of_unknown_height_still_has_an_inductance() -> None:
    # By hand: 11 mm² is 3.742 mm across, centres 32 + 1.87 = 33.87;
    # 0.4 · acosh(9.05) + 0.1 = 1.257 µH/m.
    found = track_inductance(gauge_m("O"), rail("tinplate-3rail"))
    assert found * 1e6 == pytest.approx(1.257, abs=2e-3)


def test_conductors_that_overlap_are_a_defect() -> None:
    with pytest.raises(AssertionError, match="overlap"):
        pair_inductance(1e-3, 2e-3)
