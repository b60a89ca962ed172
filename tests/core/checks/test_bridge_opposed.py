"""W117: at a stall the bridge's poles are the other way round."""

from random import Random
from typing import Any

import pytest

from core.checks.finding import Finding, Severity
from core.checks.rules.bridge_opposed import RULE
from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Part,
    RunEnd,
    Side,
    Straight,
    TrackJoint,
    TrackRun,
    Turntable,
)
from tests.core.checks.fed import booster, device
from tests.core.checks.plank import find, find_one, mended
from tests.core.checks.shed import (
    feed,
    mirrored,
    reversed_by_hand,
    rotated,
    shed,
    stall,
)

HALF = tuple(range(20, 161, 20))
"""Stalls of the worked example: split at 90 and 270 degrees, all of them in phase."""


def wrong(found: list[Finding]) -> set[str]:
    """Return the runs that findings name."""
    return {part for finding in found for part in finding.parts if part != "TT1"}


def test_quiet_with_the_split_at_90_and_270_and_stalls_from_20_to_160() -> None:
    assert find(RULE, shed(*HALF)) == []


def test_fires_for_a_stall_at_200_and_names_it() -> None:
    found = find_one(RULE, shed(*HALF, 200))
    assert wrong([found]) == {"R10"}
    assert "stall 9 (Shed 9)" in found.sentence
    assert found.severity is Severity.FAULT
    assert "reverser" in found.remedy


def test_its_remedy_swaps_the_feed_of_that_stall_and_mends_it() -> None:
    layout = shed(*HALF, 200)
    found = find_one(RULE, layout)
    assert "D10" in found.remedy
    assert find(RULE, mended(layout, found)) == []


def test_the_split_is_moved_where_that_alone_mends_it() -> None:
    # Stalls from 30 to 160 and at 200 degrees fit one half: the line of change goes
    # between 20 and 30 (200 less 180), the cut with pick-ups at the sides a quarter
    # turn on: 115 degrees. The stall is joined on, so its feed is not its own.
    beyond = TrackRun(
        id=PartId("R9"),
        x_mm=0.0,
        y_mm=9000.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=500.0),),
    )
    layout = shed(30, 60, 90, 120, 160, 200, more=[beyond, _joined()])
    found = find_one(RULE, layout)
    assert "115° and 295°" in found.remedy
    better = mended(layout, found)
    assert better.need(PartId("TT1"), Turntable).split_deg == 115.0
    assert find(RULE, better) == []


def test_fires_for_all_stalls_where_the_bridge_itself_is_wired_over() -> None:
    layout = shed(*HALF, more=[feed(1, a_rail="right")])
    found = find_one(RULE, layout)
    assert "D1" in found.remedy
    assert find(RULE, mended(layout, found)) == []


def test_quiet_about_a_stall_without_power() -> None:
    assert find(RULE, shed(*HALF, 200, without=["D10"])) == []


def test_quiet_with_a_reverser_before_the_bridge() -> None:
    parts: list[Part] = [device("AR1"), feed(1, "AR1")]
    assert find(RULE, shed(*HALF, 200, more=parts)) == []


def test_fires_with_a_breaker_before_the_bridge() -> None:
    parts: list[Part] = [device("CB1"), feed(1, "CB1")]
    assert len(find(RULE, shed(*HALF, 200, more=parts))) == 1


def test_fires_for_a_stall_of_a_booster_of_opposed_phase() -> None:
    parts: list[Part] = [booster(2, reversed_phase=True), feed(3, "PB2")]
    layout = shed(*HALF, more=parts)
    found = find_one(RULE, layout)
    assert "R3" in wrong([found])
    assert "PB2" in found.remedy
    assert found.severity is Severity.HAZARD
    assert find(RULE, mended(layout, found)) == []


def test_quiet_for_a_stall_of_another_booster_in_phase() -> None:
    assert find(RULE, shed(*HALF, more=[booster(2), feed(3, "PB2")])) == []


def test_fires_for_stops_only_at_stalls_fed_the_other_way() -> None:
    parts = [feed(3, a_rail="right")]
    found = find_one(
        RULE, shed(*HALF, more=parts, ring="whole", stops=True, split_deg=0)
    )
    assert wrong([found]) == {"R3"}


def test_quiet_with_stops_where_all_agree() -> None:
    assert find(RULE, shed(*HALF, ring="whole", stops=True, split_deg=0)) == []


def test_a_stall_across_the_stops_is_met_by_the_other_end() -> None:
    # At 270 degrees only the bridge's start can come, and its left rail is the right
    # one as seen from the middle: A left there opposes, A right agrees.
    whole: dict[str, Any] = {"ring": "whole", "stops": True, "split_deg": 0.0}
    assert wrong(find(RULE, shed(90, 270, **whole))) == {"R3"}
    assert find(RULE, shed(90, 270, more=[feed(3, a_rail="right")], **whole)) == []


@pytest.mark.parametrize("pickups", ["sides", "ends"])
@pytest.mark.parametrize("number", range(8))
def test_it_is_what_the_ring_does_worked_out_by_hand(number: int, pickups: str) -> None:
    dice = Random(f"{number} {pickups}")
    angles = dice.sample(range(0, 360, 15), 6)
    sides: tuple[Side, Side] = ("left", "right")
    split = dice.choice(range(0, 180, 15)) + 7.5
    inwards = [n for n in range(1, 7) if dice.random() < 0.5]
    layout = shed(
        *angles,
        heading_deg=dice.choice(range(0, 360, 15)),
        more=[feed(n, a_rail=dice.choice(sides)) for n in range(1, 8)],
        split_deg=split,
        pickups=pickups,
    )
    for n in inwards:
        layout = _turned(layout, f"R{n + 1}")
    by_hand = reversed_by_hand(layout)
    found = find(RULE, layout)
    named = wrong(found)
    assert named == {f"R{n + 1}" for n, bad in by_hand.items() if bad}
    for finding in found:
        if finding.fix is not None:
            assert find(RULE, mended(layout, finding)) == []


FAULTY = shed(*HALF, 200, 250)


@pytest.mark.parametrize("by_deg", [0.1, 33.3, 90.0, 180.0, 271.0])
def test_turning_the_whole_shed_changes_nothing(by_deg: float) -> None:
    assert wrong(find(RULE, rotated(FAULTY, by_deg))) == {"R10", "R11"}


def test_a_mirror_changes_nothing() -> None:
    assert wrong(find(RULE, mirrored(FAULTY))) == {"R10", "R11"}


@pytest.mark.parametrize("run", ["R1", "R2", "R6", "R10", "R11"])
def test_drawing_a_run_the_other_way_round_changes_nothing(run: str) -> None:
    assert wrong(find(RULE, _turned(FAULTY, run))) == {"R10", "R11"}


@pytest.mark.parametrize("a_rail", ["left", "right"])
def test_fires_for_a_traverser_on_the_side_that_disagrees(a_rail: Side) -> None:
    # The bridge lies at 90 degrees; R2 goes on from its end, R3 from its start. Seen
    # along the bridge R3, drawn away from it, has its left rail on the right: it
    # agrees with A right.
    found = find(RULE, _traverser(a_rail))
    assert wrong(found) == ({"R3"} if a_rail == "left" else set())


def _traverser(a_rail: Side) -> Layout:
    return shed(
        90,
        270,
        more=[feed(3, a_rail=a_rail)],
        form="traverser",
        travel_mm=200.0,
    )


def _turned(layout: Layout, run: str) -> Layout:
    better = layout.copy()
    better.apply(reverse_run(layout, PartId(run)))
    return better


def _joined() -> TrackJoint:
    far = RunEnd(run=stall(6, 200).id, end="end")
    return TrackJoint(id=PartId("J1"), a=far, b=RunEnd(run=PartId("R9"), end="start"))
