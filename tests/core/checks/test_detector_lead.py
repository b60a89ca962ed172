"""W212: a long lead behind a detector."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.detector_lead import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Part, Point, ToPort
from tests.core.checks.fed import booster, device, layout_with
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, run


def leg(number: int, length_m: float, feed: str = "OD1", lay: str = "twisted") -> Bus:
    return Bus(
        id=PartId(f"B{number}"),
        points=(Point(x_mm=0.0, y_mm=-500.0), Point(x_mm=length_m * 1e3, y_mm=-500.0)),
        wire="awg14-solid",
        lay="apart" if lay == "apart" else "twisted",
        slack=0.0,
        start=ToPort(part=PartId(feed)),
    )


def block(*buses: Part) -> Layout:
    return layout_with(layout_of(run(1, 1.0)), booster(), device("OD1"), *buses)


# By hand: π·8.854 pF/m·2.7/acosh(D/d) is some 60 to 70 pF/m for 14 AWG in PVC (needs
# N55 has 80); 2·C·15 V/58 µs is then 0.031 to 0.036 mA a metre, 1 mA at 28 to 32 m.
def test_fires_for_a_long_twisted_lead() -> None:
    # needs.md N55: 30 m twisted: 1.2 mA vs 1 mA threshold: amber. Here 36 m.
    found = find_one(RULE, block(leg(1, 36.0)))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("OD1", "B1")
    assert found.figures.endswith("> 1.00 mA")


def test_fires_for_two_legs_of_one_detector_together() -> None:
    found = find_one(RULE, block(leg(1, 18.0), leg(2, 18.0)))
    assert found.parts == ("OD1", "B1", "B2")


@pytest.mark.parametrize(("length_m", "count"), [(27.0, 0), (33.0, 1)])
def test_quiet_up_to_some_thirty_metres(length_m: float, count: int) -> None:
    assert len(find(RULE, block(leg(1, length_m)))) == count


def test_quiet_about_wires_that_lie_apart() -> None:
    # π·8.854 pF/m / acosh(100/1.63) = 5.8 pF/m: a twelfth of it.
    assert find(RULE, block(leg(1, 36.0, lay="apart"))) == []


def test_quiet_before_the_detector() -> None:
    assert find(RULE, block(leg(1, 36.0, feed="PB1"))) == []
