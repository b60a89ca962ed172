"""Placing turntables, finding their stalls, turning their bridges."""

from math import cos, radians, sin
from typing import Literal

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.add import add_run
from core.layout.edits.join import join_run_ends, make_turnout
from core.layout.edits.move import move_parts
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.edits.shape import extend_run, reverse_run, set_pieces, split_run
from core.layout.edits.sides import suggest_a_rail
from core.layout.edits.turn import add_turntable, next_stall, turn_bridge, turn_round
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import (
    Drop,
    OnRun,
    Point,
    RunEnd,
    TrackJoint,
    TrackRun,
    Turntable,
)
from core.layout.queries import free_ends, references
from core.layout.turntables import find_stalls, positions, standing_at
from tests.core.layout.edits.hand import after, i, layout_of, only, straight, the

Form = Literal["turntable", "traverser"]

MIDDLE = Point(x_mm=1000.0, y_mm=500.0)


def pit(form: Form = "turntable") -> Layout:
    """Return a pit of 300 mm round a point, its bridge R1."""
    empty = layout_of()
    return after(empty, add_turntable(empty, MIDDLE, 300.0, form=form))


def at_edge(angle_deg: float, out_mm: float = 150.0) -> Point:
    turn = radians(angle_deg)
    return Point(
        x_mm=MIDDLE.x_mm + out_mm * cos(turn), y_mm=MIDDLE.y_mm + out_mm * sin(turn)
    )


def with_stalls(layout: Layout, *angles_deg: float) -> Layout:
    for angle in angles_deg:
        change = add_run(layout, at_edge(angle), angle, (straight(500),))
        layout = after(layout, change)
    return layout


def table(layout: Layout) -> Turntable:
    return only(layout, Turntable)


def bridge(layout: Layout) -> TrackRun:
    return the(layout, TrackRun, "R1")


def test_a_pit_comes_with_a_bridge_from_edge_to_edge() -> None:
    path = run_path(bridge(pit()))
    assert path.length_mm == pytest.approx(300.0)
    assert (path.start.x_mm, path.end.x_mm) == pytest.approx((850.0, 1150.0))
    assert table(pit()).bridge == "R1"


def test_a_slip_of_the_hand_makes_no_pit() -> None:
    with pytest.raises(EditError, match="needs a size"):
        add_turntable(layout_of(), MIDDLE, 5.0)


def test_track_drawn_from_the_edge_becomes_a_stall() -> None:
    layout = with_stalls(pit(), 40.0, 10.0)
    assert [end.run for end in table(layout).stalls] == ["R2", "R3"]
    assert all(end.end == "start" for end in table(layout).stalls)


def test_track_drawn_up_to_the_edge_becomes_a_stall_by_its_end() -> None:
    layout = pit()
    change = add_run(layout, at_edge(90.0, 650.0), -90.0, (straight(500),))
    assert table(after(layout, change)).stalls == (RunEnd(run=i("R2"), end="end"),)


def test_track_extended_up_to_the_edge_becomes_one() -> None:
    layout = pit()
    change = add_run(layout, at_edge(90.0, 650.0), -90.0, (straight(300),))
    layout = after(layout, change)
    assert table(layout).stalls == ()
    layout = after(layout, extend_run(layout, i("R2"), (straight(200),)))
    assert table(layout).stalls == (RunEnd(run=i("R2"), end="end"),)


@pytest.mark.parametrize(
    ("place", "heading"),
    [(at_edge(40.0, 165.0), 40.0), (at_edge(40.0), 46.0), (at_edge(40.0), 220.0)],
    ids=["too far off", "askew", "away"],
)
def test_track_that_does_not_face_the_pit_is_none(place: Point, heading: float) -> None:
    layout = pit()
    change = add_run(layout, place, heading, (straight(500),))
    assert table(after(layout, change)).stalls == ()


def test_track_that_is_there_already_becomes_stalls_as_the_pit_is_placed() -> None:
    layout = layout_of()
    for angle in (200.0, 20.0):
        change = add_run(layout, at_edge(angle), angle, (straight(500),))
        layout = after(layout, change)
    layout = after(layout, add_turntable(layout, MIDDLE, 300.0))
    assert [end.run for end in table(layout).stalls] == ["R2", "R1"]


def test_stalls_and_bridge_are_no_free_ends_and_take_no_joint() -> None:
    layout = with_stalls(pit(), 0.0)
    assert free_ends(layout) == (RunEnd(run=i("R2"), end="end"),)
    with pytest.raises(EditError, match="joined already"):
        join_run_ends(
            layout, RunEnd(run=i("R1"), end="end"), RunEnd(run=i("R2"), end="start")
        )


def test_no_turnout_goes_on_a_bridge() -> None:
    layout = pit()
    layout = after(layout, add_run(layout, MIDDLE, 0.0, (straight(50),)))
    with pytest.raises(EditError, match="bridge of turntable TT1"):
        make_turnout(
            layout,
            OnRun(run=i("R1"), position_m=0.15),
            RunEnd(run=i("R2"), end="start"),
        )


def test_a_bridge_keeps_the_shape_of_its_pit() -> None:
    with pytest.raises(EditError, match="bridge of turntable TT1"):
        set_pieces(pit(), i("R1"), (straight(100),))
    with pytest.raises(EditError, match="bridge of turntable TT1"):
        split_run(pit(), OnRun(run=i("R1"), position_m=0.1))


def test_moving_the_pit_takes_the_bridge_along_and_parts_the_stalls() -> None:
    layout = with_stalls(pit(), 0.0, 90.0)
    moved = after(layout, move_parts(layout, frozenset({i("TT1")}), 0.0, 700.0))
    assert bridge(moved).y_mm == pytest.approx(1200.0)
    assert table(moved).stalls == ()


def test_moving_the_bridge_takes_the_pit_along() -> None:
    layout = pit()
    moved = after(layout, move_parts(layout, frozenset({i("R1")}), 50.0, 0.0))
    assert table(moved).x_mm == 1050.0


def test_moved_together_the_stalls_stay_stalls() -> None:
    layout = with_stalls(pit(), 0.0, 90.0)
    ids = frozenset({i("TT1"), i("R2"), i("R3")})
    moved = after(layout, move_parts(layout, ids, 10.0, 20.0))
    assert table(moved).stalls == table(layout).stalls


def test_removing_the_pit_takes_all_that_is_on_it_and_leaves_the_stalls() -> None:
    layout = with_stalls(pit(), 0.0)
    drop = Drop(id=i("D1"), on=OnRun(run=i("R1"), position_m=0.1))
    layout = layout_of(*layout.parts.values(), drop)
    left = after(layout, remove_parts(layout, frozenset({i("TT1")})))
    assert set(left.parts) == {"settings", "R2"}


def test_removing_the_bridge_removes_the_pit() -> None:
    left = after(pit(), remove_parts(pit(), frozenset({i("R1")})))
    assert set(left.parts) == {"settings"}


def test_removing_a_stall_leaves_the_others_in_order() -> None:
    layout = with_stalls(pit(), 0.0, 90.0, 45.0)
    left = after(layout, remove_parts(layout, frozenset({i("R2")})))
    assert [end.run for end in table(left).stalls] == ["R3", "R4"]


def test_a_larger_pit_has_a_longer_bridge_with_its_drop_where_it_was() -> None:
    layout = layout_of(
        *pit().parts.values(), Drop(id=i("D1"), on=OnRun(run=i("R1"), position_m=0.15))
    )
    larger = after(layout, set_fields(layout, frozenset({i("TT1")}), across_mm=400.0))
    assert run_path(bridge(larger)).length_mm == pytest.approx(400.0)
    assert bridge(larger).x_mm == pytest.approx(800.0)
    assert the(larger, Drop, "D1").on.position_m == pytest.approx(0.2)


def test_a_pit_moved_by_its_figures_keeps_its_bridge() -> None:
    moved = after(pit(), set_fields(pit(), frozenset({i("TT1")}), x_mm=0.0))
    assert bridge(moved).x_mm == pytest.approx(-150.0)


@pytest.mark.parametrize("run", ["R1", "R2"])
def test_drawing_a_run_the_other_way_keeps_the_stall(run: str) -> None:
    layout = with_stalls(pit(), 0.0)
    turned = after(layout, reverse_run(layout, i(run)))
    assert [end.run for end in table(turned).stalls] == ["R2"]
    assert find_stalls(turned, table(turned)) == table(turned).stalls


def test_splitting_a_stall_keeps_its_number() -> None:
    layout = pit()
    for angle in (90.0, 45.0):
        away = angle - 180.0
        change = add_run(layout, at_edge(angle, 650.0), away, (straight(500),))
        layout = after(layout, change)
    parted = after(layout, split_run(layout, OnRun(run=i("R2"), position_m=0.2)))
    assert [end.run for end in table(parted).stalls] == ["R4", "R3"]


def test_a_stall_that_gets_a_joint_is_none_any_more() -> None:
    layout = with_stalls(pit(), 0.0)
    change = add_run(layout, at_edge(0.0, 100.0), 0.0, (straight(50),))
    layout = after(layout, change)
    stall = table(layout).stalls[0]
    joint = TrackJoint(id=i("J1"), a=RunEnd(run=i("R3"), end="end"), b=stall)
    joined = layout_of(*layout.parts.values(), joint)
    assert find_stalls(joined, table(joined)) == ()


def test_the_bridge_turns_to_a_stall_by_the_shorter_way() -> None:
    layout = with_stalls(pit(), 60.0, 200.0)
    at_first = after(layout, turn_bridge(layout, i("TT1"), 1))
    assert bridge(at_first).heading_deg == pytest.approx(60.0)
    assert [(p.number, p.by) for p in standing_at(at_first, table(at_first))] == [
        (1, "end")
    ]
    at_second = after(layout, turn_bridge(layout, i("TT1"), 2))
    assert bridge(at_second).heading_deg == pytest.approx(20.0)


def test_at_the_stall_already_it_turns_end_for_end() -> None:
    layout = with_stalls(pit(), 60.0)
    layout = after(layout, turn_bridge(layout, i("TT1"), 1))
    layout = after(layout, turn_bridge(layout, i("TT1"), 1))
    assert [p.by for p in standing_at(layout, table(layout))] == ["start"]


def test_the_middle_stays_in_the_middle_however_often_it_turns() -> None:
    layout = with_stalls(pit(), 60.0, 133.0, 278.0)
    for number in (1, 2, 3, 3, 2, 1) * 5:
        layout = after(layout, turn_bridge(layout, i("TT1"), number))
    pose = run_path(bridge(layout)).at(0.15)
    assert (pose.x_mm, pose.y_mm) == pytest.approx((1000.0, 500.0), abs=1e-9)


def test_past_the_line_of_change_a_split_ring_has_a_on_the_other_rail() -> None:
    # Drawn at 0 degrees the ring is cut at 0, pick-ups at the sides: the poles change
    # as the bridge lies at 90.
    layout = with_stalls(pit(), 60.0, 120.0)
    drop = Drop(id=i("D1"), on=OnRun(run=i("R1"), position_m=0.15), a_rail="left")
    layout = layout_of(*layout.parts.values(), drop)
    near = after(layout, turn_bridge(layout, i("TT1"), 1, by="end"))
    assert the(near, Drop, "D1").a_rail == "left"
    past = after(near, turn_bridge(near, i("TT1"), 2, by="end"))
    assert the(past, Drop, "D1").a_rail == "right"
    assert the(after(past, turn_round(past, i("TT1"))), Drop, "D1").a_rail == "left"


def test_a_whole_ring_swaps_nothing() -> None:
    layout = with_stalls(pit(), 60.0)
    drop = Drop(id=i("D1"), on=OnRun(run=i("R1"), position_m=0.15), a_rail="left")
    parts = [p for p in layout.parts.values() if not isinstance(p, Turntable)]
    whole = replace(table(layout), ring="whole")
    layout = layout_of(*parts, whole, drop)
    turned = after(layout, turn_round(layout, i("TT1")))
    assert the(turned, Drop, "D1").a_rail == "left"


def test_a_turn_is_taken_back_whole() -> None:
    layout = with_stalls(pit(), 120.0)
    change = turn_bridge(layout, i("TT1"), 1)
    assert after(after(layout, change), change.inverse()).parts == layout.parts


def test_no_stall_no_turn() -> None:
    with pytest.raises(EditError, match="stall 1"):
        turn_bridge(pit(), i("TT1"), 1)


def test_with_stops_only_one_end_comes_to_a_stall() -> None:
    layout = with_stalls(pit(), 20.0, 200.0)
    layout = after(
        layout,
        set_fields(
            layout, frozenset({i("TT1")}), ring="whole", stops=True, split_deg=90.0
        ),
    )
    ways = [(p.number, p.by) for p in positions(layout, table(layout))]
    assert ways == [(1, "end"), (2, "start")]
    with pytest.raises(EditError, match="like that"):
        turn_bridge(layout, i("TT1"), 1, by="start")
    with pytest.raises(EditError, match="turned round"):
        turn_round(layout, i("TT1"))


def test_the_next_stall_comes_round_to_the_first() -> None:
    layout = with_stalls(pit(), 20.0, 50.0)
    assert next_stall(pit(), table(pit())) is None
    seen = []
    for _ in range(3):
        number = next_stall(layout, table(layout))
        assert number is not None
        seen.append(number)
        layout = after(layout, turn_bridge(layout, i("TT1"), number))
    assert seen == [1, 2, 1]


# Traversers ------------------------------------------------------------------


def beside(layout: Layout, *shifts_mm: float) -> Layout:
    """Return the traverser with roads on its right side, at shifts to its left."""
    for shift in shifts_mm:
        place = Point(x_mm=MIDDLE.x_mm + 150.0, y_mm=MIDDLE.y_mm + shift)
        layout = after(layout, add_run(layout, place, 0.0, (straight(400),)))
    return layout


def test_roads_along_the_edge_of_a_traverser_are_its_stalls() -> None:
    layout = beside(pit("traverser"), 60.0, -60.0, 170.0)
    assert [end.run for end in table(layout).stalls] == ["R2", "R3"]


def test_a_traverser_shifts_and_does_not_turn() -> None:
    layout = beside(pit("traverser"), 60.0, -60.0)
    layout = after(layout, turn_bridge(layout, i("TT1"), 2))
    assert bridge(layout).y_mm == pytest.approx(440.0)
    assert bridge(layout).heading_deg == 0.0
    assert [p.number for p in standing_at(layout, table(layout))] == [2]


def test_a_shifted_bridge_goes_along_with_its_traverser() -> None:
    layout = beside(pit("traverser"), 60.0)
    layout = after(layout, turn_bridge(layout, i("TT1"), 1))
    layout = after(layout, set_fields(layout, frozenset({i("TT1")}), y_mm=900.0))
    assert bridge(layout).y_mm == pytest.approx(960.0)


# Which rail A belongs on --------------------------------------------------------


def test_a_drop_on_the_bridge_fits_the_stalls_as_the_ring_has_it() -> None:
    layout = with_stalls(pit(), 20.0, 160.0)
    drop = Drop(id=i("D1"), on=OnRun(run=i("R3"), position_m=0.1), a_rail="left")
    layout = layout_of(*layout.parts.values(), drop)
    # Drawn at 0, change at 90: at 160 the end would come with its poles swapped, so
    # now its left rail is the one that will be right there.
    assert suggest_a_rail(layout, OnRun(run=i("R1"), position_m=0.1)) == "right"


def test_what_a_turntable_names() -> None:
    layout = with_stalls(pit(), 20.0)
    assert references(table(layout)) == ("R1", "R2")
