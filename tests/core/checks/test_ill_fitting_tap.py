"""W505: tap connectors and the wires they are made for."""

import pytest

from core.checks.rules.ill_fitting_tap import RULE
from core.layout.layout import Layout
from core.layout.parts import Drop
from tests.core.checks.plank import find, find_one, mended, plank


def tapped(bus: str, drop: str, contact: str = "tap-light") -> Layout:
    """Return the plank with both drops on a connector."""
    fields = {"wire": drop, "contact": contact}
    return plank(changes={"B1": {"wire": bus}, "D1": fields, "D2": fields})


@pytest.mark.parametrize(
    ("bus", "drop", "figures"),
    [
        # A tap for 0.8 to 2.0 mm² with 0.5 to 1.0 mm²: common practice, no source.
        ("2.5mm2-c5", "0.35mm2-hookup", "bus 2.5 mm² > 2 mm²; drop 0.35 mm² < 0.5 mm²"),
        ("1.5mm2-c5", "0.35mm2-hookup", "drop 0.35 mm² < 0.5 mm²"),
        ("2.5mm2-c5", "0.5mm2-c5", "bus 2.5 mm² > 2 mm²"),
    ],
)
def test_fires_once_for_all_drops_of_the_same_wires(
    bus: str, drop: str, figures: str
) -> None:
    found = find_one(RULE, tapped(bus, drop))
    assert found.parts == ("D1", "D2")
    assert found.figures == figures


@pytest.mark.parametrize(
    ("bus", "drop", "instead"),
    [
        ("2.5mm2-c5", "0.35mm2-hookup", "tap-step"),
        ("4mm2-c5", "1mm2-c5", "tap-heavy"),
        ("2.5mm2-c5", "2.5mm2-c5", "lever"),
        ("10mm2-c5", "0.5mm2-c5", "solder-joint"),
    ],
)
def test_fires_with_a_fix_that_takes_what_fits(
    bus: str, drop: str, instead: str
) -> None:
    layout = tapped(bus, drop)
    better = mended(layout, find_one(RULE, layout))
    assert {d.contact for d in better.of_kind(Drop)} == {instead}
    assert find(RULE, better) == []


@pytest.mark.parametrize(
    ("bus", "drop"),
    [("1.5mm2-c5", "0.5mm2-c5"), ("awg14-solid", "awg18-stranded")],
)
def test_quiet_just_inside_the_sizes(bus: str, drop: str) -> None:
    assert find(RULE, tapped(bus, drop)) == []


@pytest.mark.parametrize("contact", ["tap", "solder-joint", "screw"])
def test_quiet_where_no_sizes_are_known(contact: str) -> None:
    assert find(RULE, tapped("2.5mm2-c5", "0.35mm2-hookup", contact)) == []
