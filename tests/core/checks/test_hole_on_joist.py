"""W501: a hole for a drop on or too near a joist."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.hole_on_joist import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Joist
from tests.core.checks.plank import drop, find, find_one, mended, plank


def at(position_m: float, joist_x_mm: float = 1200.0) -> Layout:
    """Return the plank with a joist across it and D2 at a position."""
    joist = Joist(
        id=PartId("JS1"), x1_mm=joist_x_mm, y1_mm=-300.0, x2_mm=joist_x_mm, y2_mm=300.0
    )
    return plank(drop("D2", position_m, position_m), joist)


def test_fires_thirteen_millimetres_from_its_side_and_moves_it_ten() -> None:
    # needs N66: hole at 1.235, centre 1.200, half width 22: clear 13 mm < 15.
    layout = at(1.235)
    found = find_one(RULE, layout)
    assert found.parts == ("D2", "JS1")
    assert found.severity is Severity.ADVICE
    assert "13 mm < 15 mm" in found.figures
    better = mended(layout, found)
    assert better.need(PartId("D2"), Drop).on.position_m == pytest.approx(1.245)
    assert find(RULE, better) == []


def test_fires_as_a_fault_in_the_joist() -> None:
    found = find_one(RULE, at(1.2))
    assert found.severity is Severity.FAULT
    # 37 mm clear the joist; the next whole centimetre is 40 mm.
    assert "Move it 40 mm" in found.remedy


def test_fires_and_keeps_the_drop_on_its_piece_of_rail() -> None:
    # The joint is at 0.914 m: from 0.93 m, over a joist at 0.93, only onward.
    layout = at(0.95, joist_x_mm=940.0)
    moved = mended(layout, find_one(RULE, layout)).need(PartId("D2"), Drop)
    assert moved.on.position_m == pytest.approx(0.98)


@pytest.mark.parametrize(("position_m", "count"), [(1.2369, 1), (1.2371, 0)])
def test_fires_just_below_and_quiet_just_above_fifteen_millimetres(
    position_m: float, count: int
) -> None:
    assert len(find(RULE, at(position_m))) == count


def test_quiet_beyond_the_end_of_a_joist() -> None:
    joist = Joist(
        id=PartId("JS1"), x1_mm=1200.0, y1_mm=-300.0, x2_mm=1200.0, y2_mm=-38.0
    )
    assert find(RULE, plank(drop("D2", 1.2, 1.2), joist)) == []
