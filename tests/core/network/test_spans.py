"""From gap to gap as a train runs: never from one way of a turnout to the other."""

import pytest

from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.network.sections import plan_sections
from core.network.spans import Span, find_spans
from tests.core.network.track import (
    balloon,
    end,
    gap,
    joint,
    layout_of,
    on,
    run,
    turnout,
    wye,
)


def spans(layout: Layout, most_m: float, *without: str) -> tuple[Span, ...]:
    plan = plan_sections(layout)
    gaps = {link.part for link in plan.links if link.gapped} - set(without)
    return find_spans(layout, plan, gaps, most_m)


def lengths(layout: Layout, most_m: float) -> dict[frozenset[PartId], float]:
    found = spans(layout, most_m)
    return {frozenset((s.first, s.second)): s.length_m for s in found}


LINE = layout_of(
    run(1, 6.0), gap(1, on(1, 1.0)), gap(2, on(1, 3.0)), gap(3, on(1, 4.0))
)


def test_neighbours_on_one_run_are_as_far_apart_as_they_look() -> None:
    near, far = spans(LINE, 5.0)
    assert (near.first, near.second) == ("G2", "G3")
    assert near.length_m == pytest.approx(1.0)
    assert (far.first, far.second) == ("G1", "G2")
    assert far.length_m == pytest.approx(2.0)


def test_a_train_runs_over_gaps_that_do_not_count() -> None:
    (found,) = spans(LINE, 5.0, "G2")
    assert {found.first, found.second} == {"G1", "G3"}
    assert found.length_m == pytest.approx(3.0)


@pytest.mark.parametrize(("train_m", "count"), [(1.0, 0), (1.01, 1), (2.01, 2)])
def test_only_longer_trains_stand_on_both(train_m: float, count: int) -> None:
    assert len(spans(LINE, train_m)) == count


def test_it_goes_on_over_joints_whichever_way_the_runs_are_drawn() -> None:
    layout = layout_of(
        run(1, 2.0),
        run(2, 2.0),
        joint(1, end(1, "end"), end(2, "end")),
        gap(1, on(1, 1.5)),
        gap(2, on(2, 1.2)),
    )
    # By hand: 0.5 m to the end of R1, then 0.8 m back from the end of R2.
    assert lengths(layout, 5.0) == {frozenset(("G1", "G2")): pytest.approx(1.3)}


def test_a_loop_is_as_long_as_its_way_round_and_its_turnout_is_no_way_across() -> None:
    # The balloon's loop: gaps at 2.3 and 4.8 m of R1. Round the loop 2.5 m; the
    # 0.5 m over the turnout lead from one of its ways to the other.
    layout = balloon(gap(1, on(1, 2.3)), gap(2, on(1, 4.8)))
    assert lengths(layout, 9.0) == {frozenset(("G1", "G2")): pytest.approx(2.5)}


def test_the_two_ways_into_the_tail_of_a_wye_are_no_way_for_a_train() -> None:
    # Gaps on R2 and R3 just before T3, whose toe looks down the tail.
    layout = wye(gap(1, on(2, 1.8)), gap(2, on(3, 1.3)))
    assert lengths(layout, 0.5) == {}


def test_from_toe_to_either_way_a_train_goes() -> None:
    layout = layout_of(
        run(1, 4.0),
        run(2, 2.0),
        turnout(1, on(1, 2.0), end(2, "start")),
        gap(1, on(1, 1.5)),
        gap(2, on(2, 0.7)),
        gap(3, on(1, 3.0)),
    )
    # Toe at 2 m: 0.5 m to it, then 0.7 m of leg or 1.0 m of the run itself.
    assert lengths(layout, 5.0) == {
        frozenset(("G1", "G2")): pytest.approx(1.2),
        frozenset(("G1", "G3")): pytest.approx(1.5),
    }


@pytest.mark.parametrize("number", [1, 2])
def test_drawing_a_run_the_other_way_changes_nothing(number: int) -> None:
    layout = layout_of(
        run(1, 4.0),
        run(2, 2.0),
        turnout(1, on(1, 2.0), end(2, "start")),
        gap(1, on(1, 1.5)),
        gap(2, on(2, 0.7)),
    )
    turned = layout.copy()
    turned.apply(reverse_run(turned, PartId(f"R{number}")))
    assert lengths(turned, 5.0) == {frozenset(("G1", "G2")): pytest.approx(1.2)}


def test_insulated_joints_and_legs_count_as_gaps() -> None:
    layout = layout_of(
        run(1, 2.0),
        run(2, 1.0),
        run(3, 1.0),
        joint(1, end(1, "end"), end(2, "start"), insulated="both"),
        joint(2, end(2, "end"), end(3, "start"), insulated="both"),
    )
    assert lengths(layout, 5.0) == {frozenset(("J1", "J2")): pytest.approx(1.0)}


def test_one_gap_in_a_ring_does_not_pair_with_itself() -> None:
    ring = layout_of(
        run(1, 3.0), joint(1, end(1, "end"), end(1, "start")), gap(1, on(1, 1.0))
    )
    assert spans(ring, 9.0) == ()
