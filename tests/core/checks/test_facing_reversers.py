"""W124: two reversers face each other across one gap."""

from core.checks.rules.facing_reversers import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import gap, layout_of, on, run


def sections(first: str, second: str, *more: Part) -> Layout:
    """Return two sections that meet at 2 m, each fed by a part."""
    return layout_with(
        layout_of(run(1, 4.0)),
        booster(),
        device("AR1", trip_s=0.005),
        device("AR2", trip_s=0.005),
        gap(1, on(1, 2.0)),
        lead(1, on(1, 1.0), first),
        lead(2, on(1, 3.0), second),
        *more,
    )


def test_fires_for_n43() -> None:
    # needs.md N43: two facing reversers, both 5 ms: they chase each other.
    found = find_one(RULE, sections("AR1", "AR2"))
    assert found.parts == ("AR1", "AR2", "G1")
    assert "5.0 ms and 5.0 ms" in found.figures
    assert "chase each other" in found.sentence


def test_fires_where_a_detector_stands_between() -> None:
    detected = device("OD1", "AR2")
    assert len(find(RULE, sections("AR1", "OD1", detected))) == 1


def test_fires_once_for_both_gaps_of_a_section() -> None:
    third = (gap(2, on(1, 3.5)), lead(3, on(1, 3.8), "AR1"))
    assert find_one(RULE, sections("AR1", "AR2", *third)).parts == (
        "AR1",
        "AR2",
        "G1",
        "G2",
    )


def test_quiet_where_one_side_is_fed_straight() -> None:
    assert find(RULE, sections("AR1", "PB1")) == []


def test_quiet_between_two_blocks_of_one_reverser() -> None:
    detected = device("OD1", "AR1")
    assert find(RULE, sections("AR1", "OD1", detected)) == []


def test_quiet_where_another_section_lies_between() -> None:
    between = (gap(2, on(1, 2.5)), lead(3, on(1, 2.2), "PB1"))
    assert find(RULE, sections("AR1", "AR2", *between)) == []
