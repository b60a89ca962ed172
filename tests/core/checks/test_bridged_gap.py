"""W129: metal in a gap."""

from typing import Literal

import pytest
from msgspec.structs import replace

from core.checks.rules.bridged_gap import RULE
from core.layout.layout import Layout
from core.layout.parts import Gap
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import end, gap, layout_of, on, run, turnout


def metal(number: int, run_number: int, position_m: float) -> Gap:
    return replace(gap(number, on(run_number, position_m), "left"), bridged=True)


def junction(bad: Gap, frog: Literal["insulated", "switched"] = "insulated") -> Layout:
    # T1 at 1 m, its crossing 0.15 m on, on the through run and on the leg.
    toe = turnout(1, on(1, 1.0), end(2, "start"), frog=frog)
    return layout_of(run(1, 4.0), run(2, 1.0), toe, bad)


def test_fires_for_a_gap_in_plain_track() -> None:
    found = find_one(RULE, junction(metal(1, 1, 3.0)))
    assert found.parts == ("G1",)
    assert "one" in found.sentence


@pytest.mark.parametrize("place", [(1, 1.15), (2, 0.15), (2, 0.11)])
def test_fires_and_names_the_turnout_whose_frog_gap_it_is(
    place: tuple[int, float],
) -> None:
    found = find_one(RULE, junction(metal(1, *place)))
    assert found.parts == ("G1", "T1")
    assert "the frog of T1 has the pole of one rail" in found.sentence


def test_fires_with_the_other_way_s_short_behind_a_live_frog() -> None:
    found = find_one(RULE, junction(metal(1, 2, 0.15), "switched"))
    assert "shorts when T1 lies the other way" in found.sentence


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = junction(metal(1, 1, 3.0))
    better = mended(layout, find_one(RULE, layout))
    assert find(RULE, better) == []
    (cut,) = better.of_kind(Gap)
    assert cut.filled


def test_quiet_about_air_and_plastic() -> None:
    for filled in (False, True):
        cut = replace(metal(1, 1, 3.0), bridged=False, filled=filled)
        assert find(RULE, junction(cut)) == []
