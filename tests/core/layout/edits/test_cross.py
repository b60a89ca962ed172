"""Laying a diamond or slip, and what becomes of it when its tracks change."""

from math import hypot

import pytest

from core.errors import EditError
from core.layout.edits.cross import MEET_MM, add_crossing, plan_crossing_near
from core.layout.edits.move import move_parts
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.edits.shape import (
    extend_run,
    insert_pieces,
    reverse_run,
    set_pieces,
    split_run,
)
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Crossing, OnRun, Part, Straight, TrackRun
from core.layout.queries import part_name, place_xy, references
from tests.core.network.cross import across, crossing

R1, R2, X1 = PartId("R1"), PartId("R2"), PartId("X1")


def crossed(made: Crossing | None = None, angle_deg: float = 20.0) -> Layout:
    made = made or crossing()
    parts: list[Part] = [across(1, 0.0), across(2, angle_deg), made]
    return Layout({part.id: part for part in parts})


def the(layout: Layout) -> Crossing:
    """Return the crossing, after seeing that both its places are one spot."""
    made = layout.need(X1, Crossing)
    a, b = place_xy(layout, made.a), place_xy(layout, made.b)
    assert a is not None
    assert b is not None
    assert hypot(a[0] - b[0], a[1] - b[1]) <= MEET_MM
    return made


def bare(*runs: TrackRun) -> Layout:
    return Layout({run.id: run for run in runs})


def test_a_diamond_is_laid_where_two_tracks_cross() -> None:
    layout = bare(across(1, 0.0), across(2, 20.0))
    near = plan_crossing_near(layout, 12.0, 5.0, 30.0)
    assert near is not None
    layout.apply(add_crossing(layout, near.a, near.b))
    made = the(layout)
    assert (made.shape, made.frog) == ("diamond", "insulated")
    assert made.a.position_m == pytest.approx(1.0)
    assert made.b.position_m == pytest.approx(1.0)
    assert part_name(layout, X1) == "X1 (diamond of Main and Siding)"
    assert references(made) == (R1, R2)


def test_a_second_one_is_made_as_the_first() -> None:
    parts = [across(1, 0.0), across(2, 20.0), across(3, 90.0)]
    layout = bare(*parts)
    middle = OnRun(run=R1, position_m=1.0)
    layout.apply(add_crossing(layout, middle, OnRun(run=R2, position_m=1.0)))
    layout.apply(set_fields(layout, frozenset({X1}), frog="uncut"))
    layout.apply(add_crossing(layout, middle, OnRun(run=PartId("R3"), position_m=1.0)))
    assert layout.need(PartId("X2"), Crossing).frog == "uncut"


def test_it_is_refused_where_tracks_do_not_cross() -> None:
    layout = bare(across(1, 0.0), across(2, 20.0))
    with pytest.raises(EditError, match="Main and Siding do not cross there"):
        add_crossing(
            layout, OnRun(run=R1, position_m=0.5), OnRun(run=R2, position_m=0.5)
        )


def test_it_is_refused_where_one_track_passes_over_the_other() -> None:
    layout = bare(across(1, 0.0), across(2, 20.0, level_mm=70.0))
    middle = (OnRun(run=R1, position_m=1.0), OnRun(run=R2, position_m=1.0))
    with pytest.raises(EditError, match="apart in height"):
        add_crossing(layout, *middle)


def test_it_is_refused_where_one_lies_already() -> None:
    layout = crossed()
    with pytest.raises(EditError, match="X1 is there already"):
        add_crossing(
            layout, OnRun(run=R2, position_m=1.0), OnRun(run=R1, position_m=1.0)
        )


@pytest.mark.parametrize(("angle_deg", "fits"), [(45.0, True), (46.0, False)])
def test_a_slip_needs_a_sharp_angle(angle_deg: float, *, fits: bool) -> None:
    layout = crossed(angle_deg=angle_deg)
    slip = {"shape": "double slip"}
    if fits:
        layout.apply(set_fields(layout, frozenset({X1}), **slip))
        assert the(layout).shape == "double slip"
    else:
        with pytest.raises(EditError, match="no slip road fits"):
            set_fields(layout, frozenset({X1}), **slip)


def test_it_slides_along_with_a_track_that_is_moved() -> None:
    # By hand: R2 at 90° through the middle of R1, moved 300 mm to the right.
    layout = crossed(angle_deg=90.0)
    layout.apply(move_parts(layout, frozenset({R2}), 300.0, 40.0))
    made = the(layout)
    assert made.a.position_m == pytest.approx(1.3)
    assert made.b.position_m == pytest.approx(0.96)


def test_it_goes_when_its_tracks_cross_no_more() -> None:
    layout = crossed(angle_deg=90.0)
    change = move_parts(layout, frozenset({R2}), 3000.0, 0.0)
    layout.apply(change)
    assert X1 not in layout.parts
    layout.apply(change.inverse())
    assert the(layout) == crossing()


def test_it_goes_when_one_track_is_lifted_over_the_other() -> None:
    layout = crossed()
    layout.apply(set_fields(layout, frozenset({R2}), level_mm=70.0))
    assert X1 not in layout.parts


def test_it_goes_when_one_track_climbs_over_the_other() -> None:
    # 100 mm over 2 m: 50 mm where it crosses.
    layout = crossed()
    layout.apply(set_fields(layout, frozenset({R2}), level_end_mm=100.0))
    assert X1 not in layout.parts


def test_it_stays_where_a_climb_crosses_at_the_height_of_the_other() -> None:
    layout = crossed()
    climb = {"level_mm": -50.0, "level_end_mm": 50.0}
    layout.apply(set_fields(layout, frozenset({R2}), **climb))
    assert the(layout) == crossing()


def test_moving_both_tracks_leaves_it_as_it_is() -> None:
    layout = crossed()
    layout.apply(move_parts(layout, frozenset({R1, R2}), 500.0, 300.0))
    assert the(layout) == crossing()


@pytest.mark.parametrize("run", [R1, R2])
def test_it_goes_with_either_track(run: PartId) -> None:
    layout = crossed()
    layout.apply(remove_parts(layout, frozenset({run})))
    assert X1 not in layout.parts


def test_a_split_hands_it_to_the_part_that_it_lies_on() -> None:
    layout = crossed()
    layout.apply(split_run(layout, OnRun(run=R1, position_m=0.4)))
    made = the(layout)
    assert (made.a.run, made.b.run) == ("R3", "R2")
    assert made.a.position_m == pytest.approx(0.6)
    layout.apply(split_run(layout, OnRun(run=R2, position_m=1.5)))
    assert the(layout).b == OnRun(run=R2, position_m=1.0)


@pytest.mark.parametrize(("run", "side"), [(R1, "right"), (R2, "left")])
def test_drawn_the_other_way_it_stays_and_names_its_side_anew(
    run: PartId, side: str
) -> None:
    layout = crossed(crossing("switched", "single slip", side="left"))
    layout.apply(split_run(layout, OnRun(run=run, position_m=1.7)))
    layout.apply(reverse_run(layout, run))
    made = the(layout)
    assert made.side == side  # as seen on R1
    place = made.a if run == R1 else made.b
    assert place.position_m == pytest.approx(0.7)


def test_it_stays_in_plan_when_a_track_grows_at_its_start() -> None:
    layout = crossed()
    more = (Straight(length_mm=250.0),)
    layout.apply(extend_run(layout, R1, more, at="start"))
    assert the(layout).a.position_m == pytest.approx(1.25)


def test_it_follows_when_pieces_are_put_in_before_it() -> None:
    # R1 goes along x, R2 across it: 200 mm more before the middle moves none of R1's
    # places in plan, so that R2 crosses what was 200 mm nearer to the start.
    layout = crossed(angle_deg=90.0)
    layout.apply(insert_pieces(layout, R1, 0, (Straight(length_mm=200.0),)))
    assert the(layout).a.position_m == pytest.approx(1.0)


def test_it_goes_when_a_track_is_cut_short_before_it() -> None:
    layout = crossed()
    layout.apply(set_pieces(layout, R1, (Straight(length_mm=600.0),)))
    assert X1 not in layout.parts


def test_a_name_changes_nothing_of_one_that_a_file_has_in_a_wrong_place() -> None:
    wrong = Crossing(
        id=X1, a=OnRun(run=R1, position_m=0.2), b=OnRun(run=R2, position_m=1.9)
    )
    layout = crossed(wrong)
    layout.apply(set_fields(layout, frozenset({R1}), name="Goods line"))
    assert layout.need(X1, Crossing) == wrong
