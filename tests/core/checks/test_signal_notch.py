"""W208: so much inductance that the far end's signal is cut into."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.signal_notch import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop, Load, OnRun, Point, ToBus, ToPort
from tests.core.checks.fed import booster, layout_with
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import layout_of, on, run


def leg(length_m: float, lay: str, amps_a: float) -> Layout:
    """Return a bus of 14 AWG with all of its load at its far end."""
    bus = Bus(
        id=PartId("B1"),
        points=(Point(x_mm=0.0, y_mm=-500.0), Point(x_mm=length_m * 1e3, y_mm=-500.0)),
        wire="awg14-solid",
        lay="apart" if lay == "apart" else "twisted",
        spacing_mm=100.0,
        slack=0.0,
        start=ToPort(part=PartId("PB1")),
    )
    end = Drop(
        id=PartId("D1"),
        on=OnRun(run=PartId("R1"), position_m=0.5),
        to=ToBus(part=PartId("B1"), position_m=length_m),
        lead_m=0.3,
    )
    train = Load(id=PartId("L1"), on=on(1, 0.5), amps_a=amps_a)
    return layout_with(layout_of(run(1, 1.0)), booster(), bus, end, train)


# needs.md N56: "24 us of 58: red; 7 us: amber; 1 us: green", from 3.6: 40 m loose at
# 4.5 A, the same twisted, and a leg of 6.7 m twisted: 42, 13 and 2 % of the half-bit.
def test_fires_for_n56_on_a_long_loose_leg() -> None:
    found = find_one(RULE, leg(40.0, "apart", 4.5))
    assert found.severity is Severity.FAULT
    assert "81 µH at 4.50 A" in found.sentence
    assert found.figures.startswith("I·L/V = 24.")
    assert "ten turns a metre" in found.remedy


def test_fires_as_advice_once_it_is_twisted() -> None:
    found = find_one(RULE, leg(40.0, "twisted", 4.5))
    assert found.severity is Severity.ADVICE
    assert found.figures.startswith("I·L/V = 7.")
    assert found.fix is None


def test_fires_with_a_fix_that_takes_it_from_fault_to_advice() -> None:
    layout = leg(40.0, "apart", 4.5)
    found = find_one(RULE, layout)
    better = find_one(RULE, mended(layout, found))
    assert better.severity is Severity.ADVICE
    # The share that the remedy promised is the one that is found.
    share = better.sentence.partition("eat ")[2].partition(" of each")[0]
    assert f"with that alone it is {share}." in found.remedy


def test_quiet_for_n56_on_a_short_twisted_leg() -> None:
    assert find(RULE, leg(6.7, "twisted", 4.5)) == []


@pytest.mark.parametrize(("amps_a", "count"), [(3.4, 0), (3.6, 1)])
def test_quiet_up_to_a_tenth_of_the_half_bit(amps_a: float, count: int) -> None:
    # By hand for 40 m twisted: 0.4·acosh(2.79/1.63) + 0.1 µH/m is between 0.60 and
    # 0.63, so 25 µH; a tenth of 58 µs at 15 V is 5.8·15/25 = 3.5 A.
    assert len(find(RULE, leg(40.0, "twisted", amps_a))) == count
