"""W113: a reversing section shorter than the longest train."""

import pytest

from core.checks.rules import long_train
from core.checks.rules.short_section import RULE
from core.layout.layout import Layout
from core.layout.parts import Part, Side
from tests.core.checks.fed import booster, device, layout_with, lead, train
from tests.core.checks.plank import find, find_one
from tests.core.checks.shed import feed as pit_feed
from tests.core.checks.shed import on as pit_on
from tests.core.checks.shed import shed
from tests.core.network.track import balloon, end, gap, layout_of, on, run, turnout, wye


def loop(train_m: float, *more: Part, second_m: float = 5.6) -> Layout:
    """Return needs N41: gaps at 2.5 and 5.6 m, 3.1 m of section behind AR1."""
    return layout_with(
        layout_of(run(1, 6.0), turnout(1, on(1, 2.0), end(1, "end"))),
        booster(),
        device("AR1"),
        lead(1, on(1, 1.0)),
        lead(2, on(1, 3.0), "AR1"),
        gap(1, on(1, 2.5)),
        gap(2, on(1, second_m)),
        train(1, on(1, 0.5), train_m),
        *more,
    )


def test_fires_for_n41() -> None:
    # needs.md N41: 3.1 m section, 3.8 m train: short by 0.7 m.
    found = find_one(RULE, loop(3.8))
    assert found.figures == "3.80 m − 3.10 m = 700 mm short"
    assert set(found.parts) == {"G1", "G2", "L1"}
    assert "apart by 800 mm" in found.remedy


@pytest.mark.parametrize(("train_m", "count"), [(3.09, 0), (3.10, 0), (3.11, 1)])
def test_quiet_up_to_its_own_length(train_m: float, count: int) -> None:
    assert len(find(RULE, loop(train_m))) == count


def test_fires_without_a_reverser_as_well() -> None:
    bare = balloon(gap(1, on(1, 2.3)), gap(2, on(1, 4.7)), train(1, on(1, 0.5), 2.5))
    assert "2.40 m" in find_one(RULE, bare).figures


def test_fires_where_the_main_is_turned_instead_of_the_loop() -> None:
    # A reverser before the stem: a train round the loop still stands on both gaps.
    layout = layout_with(
        loop(3.8), lead(1, on(1, 1.0), "AR1"), lead(2, on(1, 3.0), "PB1")
    )
    assert len(find(RULE, layout)) == 1


def test_fires_alone_the_section_is_no_district() -> None:
    assert find(long_train.RULE, loop(3.8)) == []


def test_quiet_where_two_blocks_turn_together() -> None:
    # G3 parts the section into 1.5 and 1.6 m, both behind AR1: 3.1 m in all.
    blocks = (
        gap(3, on(1, 4.0)),
        device("OD1", "AR1"),
        lead(3, on(1, 5.0), "OD1"),
    )
    assert find(RULE, loop(3.0, *blocks)) == []


def test_fires_where_one_of_two_blocks_turns_alone() -> None:
    blocks = (gap(3, on(1, 4.0)), lead(3, on(1, 5.0), "PB1"))
    found = find_one(RULE, loop(3.0, *blocks))
    assert {"G1", "G3"} <= set(found.parts)


def test_quiet_about_the_tail_of_a_wye() -> None:
    # Gaps on both ways into the tail, 0.4 m apart over T3: a train never runs from
    # one to the other, it comes to a stand in the tail.
    layout = layout_with(
        wye(gap(1, on(2, 1.8)), gap(2, on(3, 1.3))),
        booster(),
        device("AR1"),
        lead(1, on(1, 2.0)),
        lead(2, on(2, 2.5), "AR1"),
        train(1, on(1, 0.5), 0.9),
    )
    assert find(RULE, layout) == []


def test_quiet_without_trains_that_have_a_length() -> None:
    assert find(RULE, loop(0.0)) == []


# Across a bridge ----------------------------------------------------------------


def across_bridge(length_m: float, a_rail: Side, *, to: str = "AR1") -> Layout:
    """Return a pit of 300 mm with two stalls in line, a reverser before its bridge.

    A left as seen from the middle at both: the bridge fits one end or the other. A
    right at the second: it fits both.
    """
    parts: list[Part] = [
        device("AR1"),
        pit_feed(1, to),
        pit_feed(3, a_rail=a_rail),
        train(1, pit_on(2, 0.3), length_m),
    ]
    return shed(90, 270, more=parts, ring="whole")


def test_fires_for_a_train_longer_than_a_bridge_that_must_turn_under_it() -> None:
    found = find_one(RULE, across_bridge(0.301, "left"))
    assert found.parts == ("TT1", "R2", "R3", "L1")
    assert "stall 1 (Shed 1)" in found.sentence


def test_quiet_for_a_train_as_long_as_the_bridge() -> None:
    assert find(RULE, across_bridge(0.300, "left")) == []


def test_quiet_where_both_stalls_fit_the_bridge_at_once() -> None:
    assert find(RULE, across_bridge(2.0, "right")) == []


def test_quiet_about_a_plain_bridge_which_is_another_fault() -> None:
    assert find(RULE, across_bridge(2.0, "left", to="PB1")) == []
