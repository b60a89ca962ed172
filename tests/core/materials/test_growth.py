"""Growth of rail by heat, by hand."""

import pytest

from core.materials.growth import growth, swing_k


@pytest.mark.parametrize(
    ("rail", "length_m", "kelvin", "millimetres"),
    [
        # α from memory: nickel silver 17e-6, brass 18.7e-6 per kelvin. By hand:
        # 17e-6 · 0.914 · 20 = 0.311 mm; 18.7e-6 · 1.5 · 50 = 1.40 mm.
        ("code83-ns", 0.914, 20.0, 0.31),
        ("code332-brass", 1.5, 50.0, 1.40),
    ],
)
def test_rail_grows_by_length_and_swing(
    rail: str, length_m: float, kelvin: float, millimetres: float
) -> None:
    assert 1e3 * growth(rail, length_m, kelvin) == pytest.approx(millimetres, abs=0.005)


def test_an_unknown_alloy_counts_as_nickel_silver() -> None:
    assert growth("tin", 1.0, 10.0) == growth("code100-ns", 1.0, 10.0)


def test_the_garden_swings_wider_than_a_room() -> None:
    assert swing_k("G") == 50.0
    assert swing_k("HO") == 20.0
