"""W116: rails that live only through a turnout's contact."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import unfed
from core.checks.rules.blade_fed import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import FrogKind, end, joint, layout_of, on, run, turnout


def spur(
    *more: Part,
    frog: FrogKind = "self-powered",
    leg_m: float = 2.0,
    heel_gaps: bool = False,
) -> Layout:
    """Return a main of 1.2 m that ends at a turnout's heel, and a leg without a drop.

    The toe is at 1.0 m, the crossing 0.15 m beyond.
    """
    toe = turnout(1, on(1, 1.0), end(2, "start"), frog=frog, heel_gaps=heel_gaps)
    tracks = layout_of(run(1, 1.2), run(2, leg_m), toe)
    return layout_with(tracks, booster(), lead(1, on(1, 0.5)), *more)


def test_fires_for_a_spur_that_its_blades_feed() -> None:
    # needs.md N46: "spur S2 fed through one blade: amber". 2.0 m of leg and the
    # 0.2 m of main from the toe on hang on T1.
    found = find_one(RULE, spur())
    assert found.severity is Severity.ADVICE
    assert set(found.parts) == {"R1", "R2", "T1"}
    assert "2.20 m of R2 and R1" in found.sentence


def test_fires_behind_a_change_over_contact_beyond_the_crossing() -> None:
    # Of the leg 1.85 m lie beyond the crossing; of the main 0.05 m.
    found = find_one(RULE, spur(frog="switched"))
    assert found.sentence.startswith("1.90 m of")


def test_fires_once_for_all_track_behind_one_turnout() -> None:
    more = (run(3, 1.0), joint(1, end(2, "end"), end(3, "start")))
    found = find_one(RULE, spur(*more))
    assert {"R2", "R3", "T1"} <= set(found.parts)


def test_fires_alone_a_way_that_is_not_set_is_no_rail_without_power() -> None:
    assert find(unfed.RULE, spur()) == []


def test_quiet_where_the_spur_has_its_own_drop_behind_gaps() -> None:
    assert (
        find(RULE, spur(lead(2, on(2, 1.0)), lead(3, on(1, 1.2)), heel_gaps=True)) == []
    )


@pytest.mark.parametrize(("leg_m", "count"), [(0.09, 0), (0.11, 1)])
def test_quiet_about_the_crossing_itself(leg_m: float, count: int) -> None:
    # With the 0.2 m of main: 0.29 and 0.31 m; 0.3 m is the limit.
    assert len(find(RULE, spur(leg_m=leg_m))) == count


def test_quiet_about_dead_crossings() -> None:
    assert find(RULE, spur(frog="insulated")) == []
