"""W504: a strip's way that is not there, or has too many wires on it."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.crowded_screw import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Point, Strip, ToStrip
from tests.core.checks.plank import drop, find, find_one, plank, to_bus


def ways(*of_drops: int) -> Layout:
    """Return the plank with a strip of 4 ways and drops on the given ways."""
    strip = Strip(id=PartId("TS1"), x_mm=900.0, y_mm=-200.0, ways=4)
    stub = Bus(
        id=PartId("B2"),
        points=(Point(x_mm=900.0, y_mm=-100.0), Point(x_mm=900.0, y_mm=-200.0)),
        start=to_bus(0.9),
        end=ToStrip(part=PartId("TS1"), way=1),
    )
    drops = [
        drop(f"D{n}", 0.1 * n, 0.0, to=ToStrip(part=PartId("TS1"), way=way))
        for n, way in enumerate(of_drops, start=3)
    ]
    return plank(strip, stub, *drops)


def test_fires_for_a_way_beyond_the_last() -> None:
    found = find_one(RULE, ways(5))
    assert found.parts == ("D3", "TS1")
    assert found.severity is Severity.FAULT


@pytest.mark.parametrize(("of_drops", "count"), [((2, 2, 2), 1), ((2, 2, 3), 0)])
def test_fires_for_three_wires_on_a_screw_and_quiet_for_two(
    of_drops: tuple[int, ...], count: int
) -> None:
    found = find(RULE, ways(*of_drops))
    assert [f.severity for f in found] == [Severity.ADVICE] * count


def test_quiet_on_the_last_way() -> None:
    assert find(RULE, ways(4)) == []
