"""W115: a short that only some setting of the turnouts makes."""

import pytest

from core.checks.rules import poles_meet
from core.checks.rules.setting_short import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import FrogKind, end, gap, layout_of, on, run, turnout


def siding(*more: Part, frog: FrogKind = "switched", heel_gaps: bool = False) -> Layout:
    """Return a main fed on both sides of a turnout, and its leg with a drop too."""
    toe = turnout(1, on(1, 1.0), end(2, "start"), frog=frog, heel_gaps=heel_gaps)
    return layout_with(
        layout_of(run(1, 4.0), run(2, 2.0), toe),
        booster(),
        lead(1, on(1, 0.5)),
        lead(2, on(1, 3.0)),
        *more,
    )


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_fires_for_a_crossing_fed_from_its_heel(frog: FrogKind) -> None:
    # needs.md section 2, stage 5: "live frog fed from heel without gap = short
    # only when thrown". Only the through rail beyond has a drop.
    found = find_one(RULE, siding(frog=frog))
    assert "With T1 thrown" in found.sentence
    assert found.parts == ("T1", "PB1")
    assert found.place == on(1, 1.0)


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_fires_with_a_fix_that_mends_it(frog: FrogKind) -> None:
    layout = siding(frog=frog)
    assert find(RULE, mended(layout, find_one(RULE, layout))) == []


def test_fires_for_each_of_two_such_turnouts() -> None:
    again = (
        run(3, 2.0),
        turnout(2, on(1, 2.5), end(3, "start"), frog="switched", heel_gaps=False),
    )
    parts = [found.parts[0] for found in find(RULE, siding(*again))]
    assert sorted(parts) == ["T1", "T2"]


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_fires_whichever_way_it_lies_where_both_rails_beyond_are_fed(
    frog: FrogKind,
) -> None:
    # D2 on the main and D3 on the leg: unlike poles meet in the crossing. Nothing
    # is wired the wrong way round, so W103 has nothing to say.
    layout = siding(lead(3, on(2, 1.0)), frog=frog)
    found = find_one(RULE, layout)
    assert "whichever way it lies" in found.sentence
    assert found.parts == ("T1", "PB1")
    assert find(poles_meet.RULE, layout) == []
    assert find(RULE, mended(layout, found)) == []


def test_fires_no_more_once_it_is_the_drop_beyond_that_is_crossed() -> None:
    layout = siding(lead(3, on(2, 1.0), a_rail="right"), heel_gaps=True)
    assert find(RULE, layout) == []
    assert find_one(poles_meet.RULE, layout).parts[0] == "D3"


def test_fires_beside_a_crossed_drop_on_another_piece() -> None:
    # D3 shorts the booster by itself; T1 is at fault all the same.
    layout = siding(lead(3, on(1, 0.8), a_rail="right"), lead(4, on(1, 0.2)))
    assert find_one(RULE, layout).parts[0] == "T1"


def test_fires_beside_track_that_turns_back_uncut() -> None:
    loop = (run(3, 3.0), turnout(2, on(3, 1.0), end(3, "end")), lead(5, on(3, 0.5)))
    layout = siding(*loop)
    assert find_one(RULE, layout).parts[0] == "T1"


def test_quiet_behind_heel_gaps() -> None:
    assert find(RULE, siding(lead(3, on(2, 1.0)), heel_gaps=True)) == []


def test_quiet_about_a_dead_crossing() -> None:
    assert find(RULE, siding(lead(3, on(2, 1.0)), frog="insulated")) == []


def test_quiet_where_nothing_beyond_is_fed() -> None:
    cut = (gap(1, on(1, 1.5)), gap(2, on(2, 0.5)))
    assert find(RULE, siding(*cut)) == []
