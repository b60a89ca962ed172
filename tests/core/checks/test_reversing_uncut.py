"""W111: track turns back on itself, and nothing parts its rails there."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import poles_meet, unfed
from core.checks.rules.reversing_uncut import RULE
from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, layout_with, lead, train
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import (
    balloon,
    dog_bone,
    end,
    gap,
    joint,
    layout_of,
    on,
    oval,
    run,
    turnout,
    wye,
)


def fed_balloon(*more: Part) -> Layout:
    """Return the stem of 2 m and the loop of 3 m, fed on the stem."""
    return layout_with(balloon(), booster(), lead(1, on(1, 1.0)), *more)


@pytest.mark.parametrize(
    ("layout", "turnouts"),
    [(balloon(), {"T1"}), (wye(), {"T1", "T2", "T3"}), (dog_bone(), {"T1", "T2"})],
    ids=["loop", "wye", "dog-bone"],
)
def test_fires_once_and_names_the_turnouts_on_the_way(
    layout: Layout, turnouts: set[str]
) -> None:
    found = find_one(RULE, layout)
    assert turnouts <= set(found.parts)
    assert found.severity is Severity.FAULT


def test_fires_with_the_length_of_the_way_and_the_current_of_the_short() -> None:
    # The loop is 3 m by hand. From the lead at 1 m: 1 m of stem out and back, then
    # the poles meet at the toe. Booster 50 mΩ, lead 2·(0.3·39 + 2.5) mΩ, stem
    # 2·76 mΩ and the turnout's joiners, beside which the loop itself, 228 mΩ a rail,
    # carries some too: 15 V / (0.05 + 0.03 + 0.15 + 0.01) Ω is 60 A or so.
    found = find_one(RULE, fed_balloon())
    assert "3.00 m over T1" in found.figures
    assert "15.00 V drives" in found.figures
    assert "PB1 trips at 3.00 A" in found.figures


def test_fires_as_a_hazard_where_nothing_would_trip() -> None:
    # 15 V behind 10 Ω give 1.5 A at most: a 3 A trip never comes.
    layout = fed_balloon(booster(inner_ohm=10.0))
    assert find_one(RULE, layout).severity is Severity.HAZARD


def test_fires_with_a_cut_that_mends_it() -> None:
    layout = fed_balloon()
    found = find_one(RULE, layout)
    assert found.fix is not None
    assert find(RULE, mended(layout, found)) == []


def test_fires_with_room_for_the_longest_train() -> None:
    # needs.md N40: loop of 4.6 m, longest train 3.8 m: gaps at turnout heel +
    # 0.15 m. With a lead of 0.15 m: at 2.3 and 6.3 m of R1, a section of 4.0 m.
    layout = layout_with(
        layout_of(run(1, 6.6), turnout(1, on(1, 2.0), end(1, "end"))),
        train(1, on(1, 0.5), 3.8),
    )
    remedy = find_one(RULE, layout).remedy
    assert "R1, 2.30 m and at R1, 6.30 m" in remedy
    assert "the 4.00 m between" in remedy
    assert "too long" not in remedy


def test_fires_and_says_where_the_train_is_too_long_for_it() -> None:
    layout = fed_balloon(train(1, on(1, 0.5), 2.4))
    # By hand: from 2.3 to 4.7 m there are 2.4 m, with 0.1 m of margin too little.
    assert "The longest train is 2.40 m: too long" in find_one(RULE, layout).remedy


def test_fires_without_a_fix_where_there_is_no_room_for_two_gaps() -> None:
    tight = layout_of(run(1, 2.6), turnout(1, on(1, 2.0), end(1, "end")))
    found = find_one(RULE, tight)
    assert found.fix is None
    assert "longer" in found.remedy


def test_fires_and_names_the_drops_that_belong_behind_the_reverser() -> None:
    layout = fed_balloon(lead(2, on(1, 3.5)))
    assert "with D2 on it" in find_one(RULE, layout).remedy


def test_fires_alone_the_short_it_makes_is_no_second_finding() -> None:
    layout = fed_balloon()
    assert find(poles_meet.RULE, layout) == []
    assert find(unfed.RULE, layout) == []


def test_fires_beside_a_crossed_drop_which_is_still_named() -> None:
    crossed = lead(2, on(1, 1.5), a_rail="right")
    layout = fed_balloon(crossed, lead(3, on(1, 0.5)))
    assert len(find(RULE, layout)) == 1
    assert find_one(poles_meet.RULE, layout).parts[0] == "D2"


@pytest.mark.parametrize("number", [1, 2])
def test_fires_whichever_way_the_runs_are_drawn(number: int) -> None:
    layout = layout_of(
        run(1, 2.0),
        run(2, 3.0),
        joint(1, end(1, "end"), end(2, "start")),
        turnout(1, on(1, 1.0), end(2, "end")),
    )
    layout.apply(reverse_run(layout, PartId(f"R{number}")))
    assert "T1" in find_one(RULE, layout).parts


def test_quiet_about_an_oval_with_a_passing_loop() -> None:
    assert find(RULE, oval()) == []


@pytest.mark.parametrize("gaps", [1, 2])
def test_quiet_once_both_rails_are_cut_anywhere_on_the_way(gaps: int) -> None:
    cuts = [gap(i + 1, on(1, 3.0 + i)) for i in range(gaps)]
    assert find(RULE, fed_balloon(*cuts)) == []
