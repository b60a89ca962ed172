"""W503: a lead length was typed that does not reach."""

from core.checks.rules.short_lead import RULE
from tests.core.checks.plank import find, find_one, mended, plank

# D2 hangs 100 mm in front of its hole, through 40 mm of board: 140 mm.


def test_fires_for_a_lead_that_is_too_short() -> None:
    layout = plank(changes={"D2": {"lead_m": 0.139}})
    found = find_one(RULE, layout)
    assert found.parts == ("D2",)
    assert find(RULE, mended(layout, found)) == []


def test_quiet_for_one_that_just_reaches() -> None:
    assert find(RULE, plank(changes={"D2": {"lead_m": 0.141}})) == []


def test_quiet_where_the_drawing_gives_the_length() -> None:
    assert find(RULE, plank()) == []
