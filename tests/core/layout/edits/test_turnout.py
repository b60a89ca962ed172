"""Turnouts laid in one go, and where there is no room for one."""

from math import acos, degrees, hypot, sqrt

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.branching import Branching
from core.layout.edits.clear import is_three_way
from core.layout.edits.join import end_pose, make_turnout
from core.layout.edits.turnout import Kind, Wanted, lay_turnout
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Gap,
    OnRun,
    RunEnd,
    Side,
    TrackJoint,
    TrackRun,
    Turnout,
)
from tests.core.layout.edits.hand import (
    after,
    arc,
    drop,
    end,
    i,
    layout_of,
    near,
    on,
    only,
    run,
    start,
    straight,
    the,
)

GAUGE_MM = 16.5
SHAPE = Branching.of_radius(600.0, GAUGE_MM)
LEAD_M = sqrt(2.0 * 600.0 * GAUGE_MM) / 1000.0
"""√(2·R·g): 0.1407 m."""

ALPHA_DEG = degrees(acos(591.75 / 608.25))


def wanted(
    kind: Kind = "plain",
    hand: Side = "left",
    *,
    forward: bool = True,
    shape: Branching = SHAPE,
) -> Wanted:
    return Wanted(kind, hand, forward, shape)


def laid(layout: Layout, place: OnRun, what: Wanted) -> Layout:
    return after(layout, lay_turnout(layout, place, what))


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("forward", [True, False])
def test_a_plain_turnout_comes_with_a_leg_that_is_joined(
    hand: Side, forward: bool
) -> None:
    there = laid(
        layout_of(run("R1")), on("R1", 0.5), wanted(hand=hand, forward=forward)
    )
    made = only(there, Turnout)
    assert (made.hand, made.opens) == (hand, "forward" if forward else "backward")
    assert made.leg == start("R2")
    assert made.lead_m == near(LEAD_M, rel=0.005)
    leg = the(there, TrackRun, "R2")
    assert leg.name == "Track 2"
    far = run_path(leg).end
    # Seen from the toe the leg goes to its side: up the plan for left and forward.
    up = (hand == "left") == forward
    assert (far.y_mm > 0) == up
    assert (far.x_mm > 500) == forward


def test_the_whole_turnout_is_one_change_that_can_be_taken_back() -> None:
    layout = layout_of(run("R1"))
    change = lay_turnout(layout, on("R1", 0.5), wanted())
    assert set(change.after) == {"R2", "T1"}
    assert dict(after(after(layout, change), change.inverse()).parts) == dict(
        layout.parts
    )


def test_the_leg_goes_straight_on_from_the_crossing() -> None:
    there = laid(layout_of(run("R1")), on("R1", 0.5), wanted())
    bent, on_from = the(there, TrackRun, "R2").pieces
    # cos α = (R − g/2) / (R + g/2) = 591.75 / 608.25: α = 13.376°
    assert bent == arc(600.0, near(ALPHA_DEG))
    assert on_from == straight(near(0.5 * 1000 * LEAD_M, rel=0.02))


def test_on_a_curve_both_bend_along() -> None:
    # Off a curve of 900 mm, inside: 1/R = 1/600 + 1/900, so R = 360 mm.
    there = laid(layout_of(run("R1", arc(900, 90))), on("R1", 0.5), wanted())
    assert the(there, TrackRun, "R2").pieces[0] == arc(
        near(360.0), near(ALPHA_DEG / 0.6)
    )
    # Outside: 1/R = 1/600 − 1/900: R = 1800 mm, to the other side.
    there = laid(
        layout_of(run("R1", arc(900, 90))), on("R1", 0.5), wanted(hand="right")
    )
    piece = the(there, TrackRun, "R2").pieces[0]
    assert piece == arc(near(1800.0), near(-ALPHA_DEG / 3.0))
    assert only(there, Turnout).hand == "right"


def test_a_curved_turnout_has_a_leg_of_its_own_radius() -> None:
    layout = layout_of(run("R1", arc(900, 90)))
    there = laid(layout, on("R1", 0.5), wanted("curved"))
    made, leg = only(there, Turnout), the(there, TrackRun, "R2")
    assert made.hand == "left"
    (piece,) = leg.pieces
    assert isinstance(piece, Arc)
    assert piece.radius_mm == near(600.0)
    # Across: 1/R = 1/600 − 1/900 = 1/1800: lead √(2·1800·16.5) = 243.7 mm.
    assert made.lead_m == near(0.2437, rel=0.02)


def test_a_wider_leg_lies_on_the_outside_of_the_curve() -> None:
    layout = layout_of(run("R1", arc(600, 170)))
    there = laid(
        layout, on("R1", 0.5), wanted("curved", shape=Branching.of_radius(900.0, 16.5))
    )
    assert only(there, Turnout).hand == "right"


def test_a_curved_turnout_needs_a_curve() -> None:
    with pytest.raises(EditError, match="is straight there"):
        lay_turnout(layout_of(run("R1")), on("R1", 0.5), wanted("curved"))
    with pytest.raises(EditError, match="same radius"):
        lay_turnout(layout_of(run("R1", arc(600, 90))), on("R1", 0.3), wanted("curved"))


@pytest.mark.parametrize("forward", [True, False])
def test_both_ways_of_a_wye_bend(forward: bool) -> None:
    layout = layout_of(run("R1"), drop("D1", on("R1", 0.9 if forward else 0.1)))
    there = laid(layout, on("R1", 0.5), wanted("wye", forward=forward))
    main, leg = the(there, TrackRun, "R1"), the(there, TrackRun, "R2")
    assert run_path(main).length_m == near(1.0)
    far = run_path(main).end if forward else run_path(main).start
    toe = run_path(main).at(0.5)
    assert (toe.x_mm, toe.y_mm) == (near(500), near(0))
    # Half of the bend each: as far to one side as the leg is to the other.
    at = run_path(leg).length_m
    there_on_main = run_path(main).at(0.5 + at if forward else 0.5 - at)
    assert there_on_main.y_mm == near(-run_path(leg).end.y_mm)
    assert abs(far.y_mm) > 10
    # The crossing lies as far as that of a plain turnout with the same angle.
    assert only(there, Turnout).lead_m == near(LEAD_M, rel=0.01)


def test_a_wye_on_a_free_end_goes_on_from_it() -> None:
    there = laid(layout_of(run("R1")), on("R1", 1.0), wanted("wye"))
    main = the(there, TrackRun, "R1")
    assert run_path(main).length_m > 1.0 + LEAD_M
    assert only(there, Turnout).on.position_m == near(1.0)


def test_a_wye_needs_the_end_beyond_it_free() -> None:
    layout = layout_of(
        run("R1"),
        run("R2", x=1000),
        TrackJoint(id=i("J1"), a=end("R1"), b=start("R2")),
    )
    with pytest.raises(EditError, match="its end is joined"):
        lay_turnout(layout, on("R1", 0.5), wanted("wye"))
    laid(layout, on("R1", 0.5), wanted("wye", forward=False))
    beyond = laid(layout_of(run("R1")), on("R1", 0.6), wanted())
    with pytest.raises(EditError, match="T1 lies beyond it"):
        lay_turnout(beyond, on("R1", 0.2), wanted("wye"))


@pytest.mark.parametrize(
    ("kind", "apart_m"), [("three-way", 0.0), ("staggered", LEAD_M / 2.0)]
)
def test_a_three_way_has_two_legs_in_one_change(kind: Kind, apart_m: float) -> None:
    there = laid(layout_of(run("R1")), on("R1", 0.4), wanted(kind))
    first, second = there.of_kind(Turnout)
    assert (first.hand, second.hand) == ("left", "right")
    assert second.on.position_m - first.on.position_m == near(apart_m)
    assert is_three_way(first, second)
    assert len(list(there.of_kind(TrackRun))) == 3


@pytest.mark.parametrize("forward", [True, False])
def test_on_a_free_end_the_through_run_is_drawn_on(forward: bool) -> None:
    layout = layout_of(run("R1"), drop("D1", on("R1", 0.5)))
    place = on("R1", 1.0 if forward else 0.0)
    there = laid(layout, place, wanted(forward=forward))
    main = run_path(the(there, TrackRun, "R1"))
    assert main.length_m == near(1.0 + run_path(the(there, TrackRun, "R2")).length_m)
    made = only(there, Turnout)
    toe = main.at(made.on.position_m)
    assert (toe.x_mm, toe.y_mm) == (near(1000.0 * forward), near(0))
    far = end_pose(there, RunEnd(run=i("R1"), end="end" if forward else "start"))
    assert hypot(far.x_mm - toe.x_mm, far.y_mm) > 1000.0 * LEAD_M


def test_a_leg_lies_at_the_height_of_its_toe() -> None:
    climbing = TrackRun(
        id=i("R1"),
        x_mm=0,
        y_mm=0,
        heading_deg=0,
        pieces=(straight(1000),),
        level_mm=100,
        level_end_mm=120,
    )
    there = laid(layout_of(climbing), on("R1", 0.25), wanted())
    leg = the(there, TrackRun, "R2")
    assert (leg.level_mm, leg.level_end_mm) == (near(105.0), None)


def test_it_is_wired_as_the_last_one() -> None:
    there = laid(layout_of(run("R1", straight(3000))), on("R1", 0.5), wanted())
    one = only(there, Turnout)
    live = replace(one, frog="switched", contact_a=2.0)
    twice = laid(Layout({**there.parts, one.id: live}), on("R1", 1.5), wanted())
    second = the(twice, Turnout, "T2")
    assert (second.frog, second.contact_a) == ("switched", 2.0)


# No room


def test_where_the_track_is_joined_and_ends_there_is_no_room() -> None:
    layout = layout_of(
        run("R1"), run("R2", x=1000), TrackJoint(id=i("J1"), a=end("R1"), b=start("R2"))
    )
    with pytest.raises(EditError, match="but R1 ends after 100 mm"):
        lay_turnout(layout, on("R1", 0.9), wanted())
    # Just far enough back it goes; and the other way too.
    laid(layout, on("R1", 1.0 - LEAD_M - 0.001), wanted())
    laid(layout, on("R1", 0.9), wanted(forward=False))


def test_no_gap_lies_in_the_blades() -> None:
    layout = layout_of(run("R1"), Gap(id=i("G1"), on=on("R1", 0.5)))
    with pytest.raises(EditError, match="G1 cuts R1 between toe and frog"):
        lay_turnout(layout, on("R1", 0.4), wanted())
    laid(layout, on("R1", 0.5), wanted())
    laid(layout, on("R1", 0.5 - LEAD_M - 0.001), wanted())


def test_turnouts_do_not_lie_in_each_other() -> None:
    layout = laid(layout_of(run("R1", straight(3000))), on("R1", 1.0), wanted())
    with pytest.raises(EditError, match="T1 is too near: its toe is 50 mm away"):
        lay_turnout(layout, on("R1", 1.05), wanted())
    with pytest.raises(EditError, match="T1 is too near"):
        lay_turnout(layout, on("R1", 1.05), wanted(forward=False, hand="right"))
    # Toe to toe, and behind the crossing, they fit; a mate to the other side makes
    # a three-way.
    laid(layout, on("R1", 1.0), wanted(forward=False))
    laid(layout, on("R1", 1.0 + LEAD_M + 0.001), wanted())
    laid(layout, on("R1", 1.05), wanted(hand="right"))


def test_no_turnout_lies_before_the_crossing_of_the_one_whose_leg_it_is_on() -> None:
    layout = laid(layout_of(run("R1", straight(3000))), on("R1", 1.0), wanted())
    with pytest.raises(EditError, match="is the leg of T1 there"):
        lay_turnout(layout, on("R2", 0.05), wanted())
    there = laid(layout, on("R2", LEAD_M + 0.001), wanted())
    assert the(there, Turnout, "T2").on.run == "R2"


def test_a_leg_drawn_by_hand_is_still_read_the_same() -> None:
    # The leg of a radius of 600 mm, drawn: acos(1 − g/R)·R = 141.0 mm.
    layout = layout_of(run("R1"), run("R2", arc(600, 30), x=500))
    layout.apply(make_turnout(layout, on("R1", 0.5), start("R2")))
    assert only(layout, Turnout).lead_m == near(0.1410, abs=0.0001)
