"""W123: the two sides of a gap are of opposite phase."""

from core.checks.finding import Severity
from core.checks.rules import poles_meet
from core.checks.rules.opposed_phase import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import gap, layout_of, on, run

TURNED = booster(2, reversed_phase=True)


def districts(*more: Part) -> Layout:
    """Return PB1, PB2 and PB3 on 6 m of track, parted at 2 and 4 m."""
    return layout_with(
        layout_of(run(1, 6.0)),
        booster(1),
        booster(2),
        booster(3),
        gap(1, on(1, 2.0)),
        gap(2, on(1, 4.0)),
        lead(1, on(1, 1.0)),
        lead(2, on(1, 3.0), "PB2"),
        lead(3, on(1, 5.0), "PB3"),
        *more,
    )


def test_fires_for_n36_once_for_the_booster_that_is_turned() -> None:
    # needs.md N36: 30 V across the gap, short on first wheel: red. PB2 stands
    # between both gaps.
    found = find_one(RULE, districts(TURNED))
    assert found.severity is Severity.HAZARD
    assert "30.00 V across the gap" in found.sentence
    assert set(found.parts) == {"G1", "G2", "PB1", "PB2"}
    assert "two output wires of PB2" in found.remedy


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = districts(TURNED)
    assert find(RULE, mended(layout, find_one(RULE, layout))) == []


def test_fires_at_each_side_of_a_crossed_feed_without_naming_a_booster() -> None:
    # D2 crossed: the middle district is turned, but which wires of it are swapped
    # nobody can tell from the boosters.
    layout = districts(lead(2, on(1, 3.0), "PB2", "right"))
    found = find(RULE, layout)
    assert [f.parts[0] for f in found] == ["G1", "G2"]
    assert [f.fix for f in found] == [None, None]


def test_quiet_where_all_are_alike() -> None:
    assert find(RULE, districts()) == []


def test_quiet_where_a_reverser_stands_before_one_side() -> None:
    turned = (device("AR1", "PB2"), lead(2, on(1, 3.0), "AR1", "right"))
    assert find(RULE, districts(*turned)) == []


def test_quiet_where_only_a_short_bends_the_volts() -> None:
    # D4 and D5 crossed next to the gap pull the rails of the second district over
    # at the gap itself, but it is no district of opposite phase.
    crossed = (
        lead(4, on(1, 2.1), "PB2", "right"),
        lead(5, on(1, 2.2), "PB2", "right"),
        lead(6, on(1, 3.9), "PB2"),
    )
    layout = districts(*crossed)
    assert find(RULE, layout) == []
    assert len(find(poles_meet.RULE, layout)) == 1


def test_fires_beside_a_short_where_the_booster_itself_is_turned() -> None:
    crossed = (lead(4, on(1, 3.5), "PB2", "right"), lead(5, on(1, 2.5), "PB2"))
    found = find_one(RULE, districts(TURNED, *crossed))
    assert "30.00 V across the gap" in found.sentence
