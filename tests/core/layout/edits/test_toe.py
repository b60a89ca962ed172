"""Sliding a turnout: its leg and all that hangs on it come along."""

from math import radians

import pytest

from core.errors import EditError
from core.layout.edits.move import move_along
from core.layout.edits.set import set_fields
from core.layout.edits.toe import move_toe
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Drop, Part, TrackJoint, TrackRun, Turnout
from tests.core.layout.edits.hand import (
    after,
    arc,
    drop,
    end,
    i,
    layout_of,
    on,
    run,
    start,
    straight,
    the,
)


def turnout(name: str, place: float, leg: str, *, of: str = "R1") -> Turnout:
    return Turnout(id=i(name), on=on(of, place), leg=start(leg))


def ladder(*more: Part) -> Layout:
    """A track along +x, a leg at 0.5 m, another track joined to the leg's far end."""
    return layout_of(
        run("R1", straight(3000)),
        run("R2", x=500),
        run("R3", x=1500),
        TrackJoint(id=i("J1"), a=end("R2"), b=start("R3")),
        turnout("T1", 0.5, "R2"),
        drop("D1", on("R3", 0.25)),
        *more,
    )


def test_the_leg_and_what_is_joined_to_it_move_as_far_as_the_toe() -> None:
    layout = after(ladder(), move_toe(ladder(), i("T1"), 1.2))
    assert the(layout, Turnout, "T1").on == on("R1", 1.2)
    for name, x in (("R2", 1200.0), ("R3", 2200.0)):
        moved = the(layout, TrackRun, name)
        assert (moved.x_mm, moved.y_mm) == pytest.approx((x, 0))
        assert moved.heading_deg == 0
    assert the(layout, Drop, "D1").on == on("R3", 0.25)
    assert i("J1") in layout.parts


def test_a_turnout_on_the_leg_takes_its_own_leg_along() -> None:
    layout = ladder(run("R4", x=1700), turnout("T2", 0.2, "R4", of="R3"))
    layout = after(layout, move_along(layout, i("T1"), 0.6))
    assert the(layout, TrackRun, "R4").x_mm == pytest.approx(1800)
    assert i("T2") in layout.parts


def test_round_a_bend_the_leg_turns_with_the_track() -> None:
    # A quarter circle of radius 1000 about (0, 1000), from (0, 0) to (1000, 1000).
    quarter = run("R1", arc(1000, 90))
    layout = layout_of(quarter, run("R2", straight(300)), turnout("T1", 0.0, "R2"))
    length = run_path(quarter).length_m
    moved = set_fields(layout, frozenset({i("T1")}), on=on("R1", length))
    leg = the(after(layout, moved), TrackRun, "R2")
    assert (leg.x_mm, leg.y_mm, leg.heading_deg) == pytest.approx((1000, 1000, 90))


def test_a_leg_that_ends_at_the_toe_is_carried_by_its_end() -> None:
    leg = run("R2", x=1500, heading=180)  # ends at (500, 0)
    toe = Turnout(id=i("T1"), on=on("R1", 0.5), leg=end("R2"))
    layout = layout_of(run("R1", straight(3000)), leg, toe)
    moved = the(after(layout, move_toe(layout, i("T1"), 0.9)), TrackRun, "R2")
    there = run_path(moved).end
    assert (there.x_mm, there.y_mm) == pytest.approx((900, 0))
    assert there.heading == pytest.approx(radians(180))


def test_slides_in_a_row_are_one_step() -> None:
    first, second = (move_toe(ladder(), i("T1"), p) for p in (1.0, 1.1))
    assert first.merge_key == second.merge_key != ""


def test_typing_a_place_carries_the_leg_as_well() -> None:
    layout = ladder()
    layout = after(layout, set_fields(layout, frozenset({i("T1")}), on=on("R1", 1.2)))
    assert the(layout, TrackRun, "R2").x_mm == pytest.approx(1200)


def test_a_leg_that_leads_back_cannot_slide() -> None:
    passing = ladder(Turnout(id=i("T2"), on=on("R1", 2.5), leg=end("R3")))
    with pytest.raises(EditError, match="R2 leads back to R1, so T1 cannot slide"):
        move_toe(passing, i("T1"), 0.6)
    with pytest.raises(EditError, match="leads back"):
        set_fields(passing, frozenset({i("T2")}), on=on("R1", 2.6))


def test_a_toe_stays_on_its_track() -> None:
    with pytest.raises(EditError, match="off R1"):
        move_toe(ladder(), i("T1"), 3.2)
    with pytest.raises(EditError, match="T1 belongs to R1"):
        set_fields(ladder(), frozenset({i("T1")}), on=on("R3", 0.2))
    with pytest.raises(EditError, match="no turnout T9"):
        move_toe(ladder(), i("T9"), 0.2)
