"""W127: two breakers, or other devices, feed the same metal."""

import pytest

from core.checks.rules import joined_boosters
from core.checks.rules.joined_devices import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import balloon, gap, layout_of, on, run


def line(first: str, second: str, *more: Part) -> Layout:
    """Return 4 m of track fed at 1 m and 3 m by two parts."""
    return layout_with(
        layout_of(run(1, 4.0)),
        booster(1),
        booster(2),
        device("CB1"),
        device("CB2"),
        device("CB3", "PB2"),
        lead(1, on(1, 1.0), first),
        lead(2, on(1, 3.0), second),
        *more,
    )


def test_fires_where_the_gap_between_two_breakers_is_missing() -> None:
    found = find_one(RULE, line("CB1", "CB2"))
    assert found.parts == ("CB1", "CB2", "D1", "R1", "D2")
    assert found.sentence.startswith("CB1 and CB2 feed the same track")


def test_fires_where_a_drop_hangs_before_the_breaker() -> None:
    found = find_one(RULE, line("CB1", "PB1"))
    assert found.parts[:2] == ("CB1", "PB1")
    assert "the breaker never sees all of the current" in found.sentence


def test_fires_where_a_drop_hangs_before_the_detector() -> None:
    found = find_one(RULE, line("OD1", "CB1", device("OD1", "CB1")))
    assert found.parts[:2] == ("OD1", "CB1")
    assert "CB1 feeds the track behind OD1 past it: the occupancy" in found.sentence


def test_fires_for_detectors_as_well() -> None:
    blocks = (device("OD1", "CB1"), device("OD2", "CB1"))
    assert find_one(RULE, line("OD1", "OD2", *blocks)).parts[:2] == ("OD1", "OD2")


@pytest.mark.parametrize("rails", ["left", "both"])
def test_quiet_once_the_switched_rail_is_cut(rails: str) -> None:
    cut = gap(1, on(1, 2.0), "left" if rails == "left" else "both")
    assert find(RULE, line("CB1", "CB2", cut)) == []


def test_quiet_about_breakers_of_two_boosters() -> None:
    layout = line("CB1", "CB3")
    assert find(RULE, layout) == []
    assert len(find(joined_boosters.RULE, layout)) == 1


def test_quiet_about_a_section_that_is_cut_once() -> None:
    # The reverser's section runs into the main where its second gap is missing.
    loop = layout_with(
        balloon(gap(1, on(1, 3.0))),
        booster(),
        device("AR1"),
        lead(1, on(1, 1.0)),
        lead(2, on(1, 4.0), "AR1"),
    )
    assert find(RULE, loop) == []


def test_quiet_behind_a_short() -> None:
    crossed = lead(3, on(1, 2.0), "CB1", "right")
    assert find(RULE, line("CB1", "CB2", crossed)) == []
