"""W118: the ring of a turntable is cut where the bridge stands at a stall."""

from typing import Any

import pytest

from core.checks.rules.split_at_stall import RULE
from core.layout.ids import PartId
from core.layout.parts import Turntable
from tests.core.checks.plank import find, find_one, mended
from tests.core.checks.shed import mirrored, rotated, shed


def test_fires_just_inside_5_degrees_of_the_line_of_change() -> None:
    # Cut at 90 with pick-ups at the sides: the poles change as the bridge lies at 0.
    found = find_one(RULE, shed(4.9, 60, 120))
    assert found.parts == ("TT1", "R2")
    assert "stall 1 (Shed 1)" in found.sentence


def test_quiet_at_5_degrees() -> None:
    assert find(RULE, shed(5.0, 60, 120)) == []


def test_fires_for_the_far_side_of_the_pit_as_well() -> None:
    assert find_one(RULE, shed(60, 178)).parts == ("TT1", "R3")


def test_pick_ups_at_the_ends_change_a_quarter_turn_away() -> None:
    assert find(RULE, shed(4.9, 60, 120, pickups="ends")) == []
    assert len(find(RULE, shed(60, 88, pickups="ends"))) == 1


def test_its_remedy_cuts_the_ring_half_way_between_stalls() -> None:
    # Bearings 2, 60 and 120 of a half circle: the widest space is from 120 to 182,
    # its middle 151; the cut stands a quarter turn on, at 61 degrees.
    layout = shed(2, 60, 120)
    found = find_one(RULE, layout)
    better = mended(layout, found)
    assert better.need(PartId("TT1"), Turntable).split_deg == 61.0
    assert find(RULE, better) == []


@pytest.mark.parametrize("fields", [{"ring": "whole"}, {"form": "traverser"}])
def test_quiet_where_no_ring_is_cut(fields: dict[str, Any]) -> None:
    assert find(RULE, shed(2, 60, **fields)) == []


def test_turned_or_in_a_mirror_it_is_the_same() -> None:
    layout = shed(2, 60, 120)
    for other in (mirrored(layout), rotated(layout, 77.0)):
        assert find_one(RULE, other).parts == ("TT1", "R2")
