"""W119: a bridge that can be turned end for end, and nothing swaps its poles."""

from core.checks.rules import bridge_opposed, split_at_stall
from core.checks.rules.plain_bridge import RULE
from core.layout.parts import Part
from tests.core.checks.fed import device
from tests.core.checks.plank import find, find_one, mended
from tests.core.checks.shed import feed, mirrored, rotated, shed


def test_fires_for_a_whole_ring_with_a_fed_stall() -> None:
    found = find_one(RULE, shed(30, 90, ring="whole"))
    assert found.parts == ("TT1", "R1")
    assert "2 of 4 ways" in found.figures
    assert "reverser" in found.remedy


def test_it_is_told_once_not_as_opposed_stalls_too() -> None:
    assert find(bridge_opposed.RULE, shed(30, 90, ring="whole")) == []


def test_its_remedy_is_a_split_ring_that_fits() -> None:
    layout = shed(30, 90, 160, 200, ring="whole")
    better = mended(layout, find_one(RULE, layout))
    for rule in (RULE, bridge_opposed.RULE, split_at_stall.RULE):
        assert find(rule, better) == []


def test_no_ring_is_proposed_where_none_fits() -> None:
    # A rail that is left as seen from the middle at 20 and at 200: the bridge meets
    # both at once, and one of them crosswise, however the ring is cut.
    found = find_one(RULE, shed(20, 200, ring="whole"))
    assert found.fix is None


def test_quiet_with_a_split_ring() -> None:
    assert find(RULE, shed(30, 90)) == []


def test_quiet_with_a_reverser_before_the_bridge() -> None:
    parts: list[Part] = [device("AR1"), feed(1, "AR1")]
    assert find(RULE, shed(30, 90, ring="whole", more=parts)) == []


def test_quiet_with_stops() -> None:
    assert find(RULE, shed(30, 90, ring="whole", stops=True, split_deg=0.0)) == []


def test_quiet_for_a_traverser_which_never_turns() -> None:
    assert find(RULE, shed(90, form="traverser", ring="whole")) == []


def test_quiet_without_power_in_the_stalls() -> None:
    assert find(RULE, shed(30, ring="whole", without=["D2"])) == []


def test_turned_or_in_a_mirror_it_is_the_same() -> None:
    layout = shed(30, 90, ring="whole")
    for other in (mirrored(layout), rotated(layout, 77.0)):
        assert find_one(RULE, other).parts == ("TT1", "R1")
