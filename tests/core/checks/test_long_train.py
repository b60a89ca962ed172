"""W126: a train long enough to bridge a whole district."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.long_train import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead, train
from tests.core.checks.plank import find, find_one
from tests.core.network.track import end, gap, joint, layout_of, on, run, turnout

FEEDS = (booster(), device("CB1"), device("CB2"), device("CB3"))


def districts(train_m: float, *more: Part) -> Layout:
    """Return needs N37: a district of 3.1 m behind CB2, between CB1 and CB3."""
    return layout_with(
        layout_of(run(1, 9.0)),
        *FEEDS,
        gap(1, on(1, 3.0)),
        gap(2, on(1, 6.1)),
        lead(1, on(1, 1.0), "CB1"),
        lead(2, on(1, 4.0), "CB2"),
        lead(3, on(1, 8.0), "CB3"),
        train(1, on(1, 0.5), train_m),
        *more,
    )


def test_fires_for_n37() -> None:
    # needs.md N37: 3.8 m train spans two gaps of a 3.1 m district: both named.
    found = find_one(RULE, districts(3.8))
    assert found.severity is Severity.ADVICE
    assert found.figures == "3.80 m > 3.10 m"
    assert found.parts == ("G1", "G2", "L1", "CB1", "CB2", "CB3")


@pytest.mark.parametrize(("train_m", "count"), [(3.09, 0), (3.11, 1)])
def test_quiet_up_to_the_length_of_the_district(train_m: float, count: int) -> None:
    assert len(find(RULE, districts(train_m))) == count


def test_fires_across_joints_and_from_a_leg() -> None:
    # From G1 on the leg of T1: 0.8 m to the toe, 1.0 m to the joint, 0.7 m to G2:
    # 2.5 m by hand.
    layout = layout_with(
        layout_of(
            run(1, 3.0),
            run(2, 2.0),
            run(3, 3.0),
            turnout(1, on(1, 1.0), end(2, "start")),
            joint(1, end(1, "start"), end(3, "start")),
        ),
        *FEEDS,
        gap(1, on(2, 0.8)),
        gap(2, on(3, 0.7)),
        lead(1, on(1, 2.0), "CB1"),
        lead(2, on(2, 1.5), "CB2"),
        lead(3, on(3, 2.0), "CB3"),
        train(1, on(1, 2.0), 2.6),
    )
    found = find_one(RULE, layout)
    assert found.figures == "2.60 m > 2.50 m"
    assert set(found.parts) >= {"G1", "G2", "CB1", "CB2", "CB3"}


def test_quiet_about_detection_blocks_behind_one_breaker() -> None:
    blocks = (
        device("OD1", "CB1"),
        device("OD2", "CB1"),
        lead(2, on(1, 4.0), "OD1"),
        lead(3, on(1, 8.0), "OD2"),
    )
    assert find(RULE, districts(3.8, *blocks)) == []


def test_quiet_from_one_way_of_a_turnout_to_the_other() -> None:
    # G1 on the leg and G2 on the main beyond the toe: no train stands on both.
    layout = layout_with(
        layout_of(run(1, 3.0), run(2, 2.0), turnout(1, on(1, 1.0), end(2, "start"))),
        *FEEDS,
        gap(1, on(2, 0.5)),
        gap(2, on(1, 1.5)),
        lead(1, on(1, 0.5), "CB1"),
        lead(2, on(2, 1.5), "CB2"),
        lead(3, on(1, 2.5), "CB3"),
        train(1, on(1, 0.2), 2.0),
    )
    assert find(RULE, layout) == []


def test_quiet_without_trains() -> None:
    assert find(RULE, districts(0.0)) == []
