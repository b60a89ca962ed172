"""What rails stand, against a textbook's cylinder and sums by hand."""

import pytest

from core.materials.rails import RAILS
from core.materials.warmth import (
    cooling_of_bar,
    nusselt_of_cylinder,
    rail_amps,
    rail_let_through,
)


def test_a_textbooks_pipe_is_cooled_as_the_textbook_says() -> None:
    # Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 9.4, from
    # memory: a steam pipe of 0.1 m, Ra = 5.073e6, Pr = 0.697 gives Nu = 23.3.
    assert nusselt_of_cylinder(5.073e6, 0.697) == pytest.approx(23.3, rel=0.01)


def test_a_bar_as_thin_as_code_83_gives_off_about_twenty_watts() -> None:
    # By hand, d = 1.51 mm, 40 K, air at 45 °C: Ra = 9.81/318·40·(1.51e-3)³·0.705 /
    # (1.75e-5)² = 9.78; Ra^(1/6) = 1.462; (1 + (0.559/0.705)^0.5625)^(8/27) = 1.198;
    # Nu = (0.60 + 0.387·1.462/1.198)² = 1.149; h = 1.149·0.0277/1.51e-3 = 21.1.
    assert cooling_of_bar(1.51e-3) == pytest.approx(21.1, rel=0.01)


@pytest.mark.parametrize(
    ("rail_id", "amps", "squared"),
    [
        # Code 100: d = 2·√(2.40/π) = 1.748 mm, Ra = 15.2, Nu = 1.221, h = 19.4; π·d·h
        # ·40 = 4.25 W/m; √(4.25/0.076) = 7.48 A. 3.2e6·2.40e-6·40/0.076 = 4042 A²s.
        ("code100-ns", 7.48, 4042.0),
        # Code 55: d = 1.028 mm, Ra = 3.08, Nu = 0.975, h = 26.3; 3.39 W/m; √(3.39 /
        # 0.300) = 3.36 A. 3.2e6·0.83e-6·40/0.300 = 354 A²s.
        ("code55-ns", 3.36, 354.0),
    ],
)
def test_rails_stand_what_a_sum_by_hand_says(
    rail_id: str, amps: float, squared: float
) -> None:
    section = RAILS[rail_id]
    assert rail_amps(section.ohm_per_m, section.area_mm2) == pytest.approx(
        amps, rel=0.01
    )
    assert rail_let_through(section.ohm_per_m, section.area_mm2) == pytest.approx(
        squared, rel=0.01
    )


def test_a_heavier_rail_of_one_metal_stands_more() -> None:
    silver = sorted(
        (r for r in RAILS.values() if r.alloy == "nickel silver"),
        key=lambda r: -r.ohm_per_m,
    )
    amps = [rail_amps(r.ohm_per_m, r.area_mm2) for r in silver]
    assert amps == sorted(amps)
