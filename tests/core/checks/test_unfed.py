"""W101: rail that no booster reaches."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.unfed import RULE
from core.layout.ids import PartId
from core.layout.parts import Gap, Inline, ToPort
from tests.core.checks.plank import drop, find, find_one, on, plank, straight


def test_fires_for_a_run_without_drops() -> None:
    found = find_one(RULE, plank(straight("R2", 0.5, y_mm=500.0)))
    assert found.parts == ("R2",)
    assert found.severity is Severity.FAULT
    assert found.place is not None
    assert found.place.run == "R2"
    assert "no booster reaches its two rails" in found.sentence


def test_fires_behind_a_gap_and_says_from_where_to_where() -> None:
    # Cut at 1.5 m, behind D2 at 1.4 m: the last 0.3 m of 1.8 m are dead.
    gap = Gap(id=PartId("G1"), on=on(1.5))
    found = find_one(RULE, plank(gap))
    assert found.figures == "1.50 m to 1.80 m"
    assert found.size == 1.0 + 0.3


def test_fires_for_one_rail_only() -> None:
    gap = Gap(id=PartId("G1"), on=on(1.5), rails="left")
    assert "its left rail" in find_one(RULE, plank(gap)).sentence


def test_fires_once_where_there_is_no_booster_at_all() -> None:
    layout = plank(straight("R2", 0.5, y_mm=500.0), without=("PB1",))
    found = find_one(RULE, layout)
    assert set(found.parts) == {"R1", "R2"}
    assert "no booster yet" in found.sentence


def test_fires_as_advice_where_a_switch_is_open() -> None:
    switch = Inline(
        id=PartId("SW1"),
        device="switch",
        x_mm=0.0,
        y_mm=300.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
        closed=False,
    )
    spur = straight("R2", 0.5, y_mm=500.0)
    fed = drop("D3", 0.2, 0.0, on=on(0.2, "R2"), to=ToPort(part=PartId("SW1")))
    found = find_one(RULE, plank(switch, spur, fed))
    assert found.severity is Severity.ADVICE
    assert "SW1 is open" in found.sentence


def test_quiet_where_a_gap_leaves_a_drop_on_either_side() -> None:
    assert find(RULE, plank(Gap(id=PartId("G1"), on=on(1.39)))) == []


def test_quiet_about_dead_places_of_a_shorted_circuit() -> None:
    # The short is another rule's; volts there mean nothing.
    assert find(RULE, plank(changes={"D2": {"a_rail": "right"}})) == []


@pytest.mark.parametrize(("length_m", "count"), [(0.049, 0), (0.051, 1)])
def test_quiet_about_stretches_as_short_as_a_crossing(
    length_m: float, count: int
) -> None:
    gaps = (
        Gap(id=PartId("G1"), on=on(0.6)),
        Gap(id=PartId("G2"), on=on(0.6 + length_m)),
    )
    assert len(find(RULE, plank(*gaps))) == count
