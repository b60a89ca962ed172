"""The run tool, by gesture."""

import pytest

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    OnRun,
    RunEnd,
    Straight,
    TrackJoint,
    TrackRun,
    Turnout,
)
from tests.app.tools.hand import Gestures

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=2000.0),),
)


def only_run(g: Gestures, run_id: str = "R1") -> TrackRun:
    return g.layout.need(PartId(run_id), TrackRun)


def test_clicks_draw_a_straight_and_a_tangent_arc_in_one_step() -> None:
    g = Gestures("run")
    g.click(0, 0).click(1200, 0).click(1800, 600).key("enter")
    run = only_run(g)
    assert run.pieces == (
        Straight(length_mm=1200.0),
        Arc(radius_mm=600.0, sweep_deg=90.0),
    )
    assert len(g.desk.changes) == 1
    assert g.state == "Starting"
    assert g.desk.marks == ()


@pytest.mark.parametrize("beside", [(3, 0), (-3, 0), (0, 3), (0, -3), (-8, 8)])
def test_near_the_free_end_of_a_leg_it_goes_on_from_that(
    beside: tuple[float, float],
) -> None:
    g = Gestures("turnout", MAIN, mm_per_px=6.0).click(1000, 0)
    leg = g.layout.need(PartId("R2"), TrackRun)
    end = run_path(leg).end
    drawn = Gestures("run", *g.layout.parts.values(), mm_per_px=6.0)
    drawn.click(end.x_mm + 6.0 * beside[0], end.y_mm + 6.0 * beside[1])
    drawn.click(end.x_mm + 600, end.y_mm + 250).key("enter")
    assert drawn.desk.refusals == []
    longer = only_run(drawn, "R2")
    assert longer.pieces[: len(leg.pieces)] == leg.pieces
    assert len(longer.pieces) > len(leg.pieces)


def test_a_drag_draws_the_first_piece() -> None:
    g = Gestures("run").drag((0, 0), (500, 3), (900, 2))
    assert g.state == "Drawing"
    g.key("enter")
    assert only_run(g).pieces == (Straight(length_mm=900.0),)


def test_the_run_is_shown_before_it_is_made() -> None:
    g = Gestures("run").click(0, 0).move(1200, 0)
    (ghost,) = g.ghosts
    assert isinstance(ghost, TrackRun)
    assert ghost.pieces == (Straight(length_mm=1200.0),)
    assert "1.2" in g.desk.measured
    assert not list(g.layout.of_kind(TrackRun))


def test_a_double_click_ends_with_the_piece_that_its_first_click_added() -> None:
    g = Gestures("run").click(0, 0).click(500, 0).double(1000, 0)
    pieces = only_run(g).pieces
    assert pieces == (Straight(length_mm=500.0), Straight(length_mm=500.0))
    assert g.state == "Starting"


def test_the_right_button_ends_the_run() -> None:
    g = Gestures("run").click(0, 0).click(500, 0).menu()
    assert only_run(g).pieces == (Straight(length_mm=500.0),)


def test_ending_with_nothing_drawn_makes_nothing() -> None:
    g = Gestures("run").click(0, 0).key("enter")
    assert g.desk.changes == []
    assert g.state == "Starting"


@pytest.mark.parametrize("clicks", [1, 2, 3])
def test_escape_leaves_no_trace(clicks: int) -> None:
    g = Gestures("run")
    for i in range(clicks):
        g.click(600.0 * i, 0)
    g.move(5000, 100).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert (g.desk.measured, g.desk.typed) == ("", "")
    assert g.state == "Starting"


def test_backspace_takes_the_last_piece_back_and_at_last_the_start() -> None:
    g = Gestures("run").click(0, 0).click(500, 0).click(1000, 0)
    g.key("backspace").key("enter")
    assert only_run(g).pieces == (Straight(length_mm=500.0),)
    g = Gestures("run").click(0, 0).click(500, 0).key("backspace").key("backspace")
    assert g.state == "Starting"
    assert g.desk.changes == []


def test_a_typed_length_is_drawn_exactly_towards_the_pointer() -> None:
    g = Gestures("run").click(0, 0).move(0, 300).type("2400")
    assert g.desk.typed == "2400"
    g.key("enter").key("enter")
    run = only_run(g)
    assert run.pieces == (Straight(length_mm=2400.0),)
    assert run.heading_deg == pytest.approx(90.0)
    assert g.desk.typed == ""


def test_a_typed_arc_is_a_radius_and_a_sweep() -> None:
    g = Gestures("run").click(0, 0).click(1000, 0).move(1300, -100)
    g.type("r600 90").key("enter").key("enter")
    assert only_run(g).pieces[1] == Arc(radius_mm=600.0, sweep_deg=-90.0)


def test_what_is_typed_can_be_rubbed_out() -> None:
    g = Gestures("run").click(0, 0).move(300, 0).type("24")
    g.key("backspace").type("0").key("enter").key("enter")
    assert only_run(g).pieces == (Straight(length_mm=20.0),)


def test_an_unreadable_text_adds_nothing() -> None:
    g = Gestures("run").click(0, 0).move(300, 0).type("24qq").key("enter")
    assert g.state == "Drawing"
    assert g.desk.changes == []


def test_letters_that_begin_no_length_are_not_typed() -> None:
    g = Gestures("run").click(0, 0).move(300, 0).type("b")
    assert g.desk.typed == ""


def test_ending_on_the_own_start_closes_the_oval() -> None:
    # 1000 to the right, half a turn of radius 400, back 1000, half a turn home.
    g = Gestures("run").click(0, 0).click(1000, 0).click(1000, 800).click(0, 800)
    g.click(3, 2)
    run = only_run(g)
    assert run.pieces == (
        Straight(length_mm=1000.0),
        Arc(radius_mm=400.0, sweep_deg=180.0),
        Straight(length_mm=1000.0),
        run.pieces[3],
    )
    last = run.pieces[3]
    assert isinstance(last, Arc)
    assert (last.radius_mm, last.sweep_deg) == pytest.approx((400.0, 180.0))
    (joint,) = g.layout.of_kind(TrackJoint)
    assert (joint.a, joint.b) == (
        RunEnd(run=PartId("R1"), end="end"),
        RunEnd(run=PartId("R1"), end="start"),
    )
    assert len(g.desk.changes) == 1
    assert g.state == "Starting"


def test_the_word_at_the_start_says_that_it_closes() -> None:
    g = Gestures("run").click(0, 0).click(1000, 0).click(1000, 800).click(0, 800)
    assert g.move(3, 2).words == ["joins its own start"]


def test_starting_on_a_free_end_makes_that_run_longer() -> None:
    g = Gestures("run", MAIN).click(2003, 4).click(2500, 0).key("enter")
    assert list(g.layout.of_kind(TrackRun)) == [only_run(g)]
    assert run_path(only_run(g)).length_m == pytest.approx(2.5)
    assert g.layout.need(PartId("R1"), TrackRun).x_mm == 0.0


def test_starting_on_the_start_of_a_run_grows_it_backwards() -> None:
    g = Gestures("run", MAIN).click(-2, 1).click(-500, 0).key("enter")
    run = only_run(g)
    assert run_path(run).length_m == pytest.approx(2.5)
    assert run.x_mm == pytest.approx(-500.0)


def test_starting_on_a_run_makes_a_turnout_that_opens_towards_the_pointer() -> None:
    g = Gestures("run", MAIN).click(800, 5).click(1400, 240).key("enter")
    (turnout,) = g.layout.of_kind(Turnout)
    assert turnout.on == OnRun(run=PartId("R1"), position_m=0.8)
    assert (turnout.opens, turnout.hand) == ("forward", "left")
    assert turnout.leg == RunEnd(run=PartId("R2"), end="start")
    leg = g.layout.need(PartId("R2"), TrackRun)
    assert (leg.x_mm, leg.y_mm, leg.heading_deg) == (800.0, 0.0, 0.0)
    assert len(g.desk.changes) == 1


def test_a_leg_drawn_backwards_opens_backward() -> None:
    # Looking back along the run, a leg above it lies on the right hand.
    g = Gestures("run", MAIN).click(800, 5).click(200, 240).key("enter")
    (turnout,) = g.layout.of_kind(Turnout)
    assert (turnout.opens, turnout.hand) == ("backward", "right")


def test_a_leg_that_stays_on_its_track_is_not_drawn() -> None:
    g = Gestures("run", MAIN).click(800, 5).click(1400, 2)
    assert g.state == "Drawing"
    assert g.key("enter").desk.changes == []


def test_ending_on_a_free_end_joins_rail_to_rail() -> None:
    # A run that comes from the right along the same line, 500 mm beyond.
    g = Gestures("run", MAIN).click(3000, 0).click(2500, 0).click(2002, 3)
    (joint,) = g.layout.of_kind(TrackJoint)
    assert {joint.a, joint.b} == {
        RunEnd(run=PartId("R2"), end="end"),
        RunEnd(run=PartId("R1"), end="end"),
    }
    assert run_path(g.layout.need(PartId("R2"), TrackRun)).length_m == pytest.approx(
        1.0
    )
    assert g.state == "Starting"


def test_the_first_piece_reaches_a_free_end_in_line() -> None:
    # From (2600, 600) to the end at (2000, 0): a quarter turn of radius 600.
    g = Gestures("run", MAIN).click(2600, 600).click(2002, 3)
    (piece,) = g.layout.need(PartId("R2"), TrackRun).pieces
    assert isinstance(piece, Arc)
    assert (piece.radius_mm, abs(piece.sweep_deg)) == pytest.approx((600.0, 90.0))
    assert len(list(g.layout.of_kind(TrackJoint))) == 1


def test_ending_on_the_side_of_a_run_makes_a_trailing_turnout() -> None:
    # Parallel above, then down onto the main at 1500 mm, running to the right.
    g = Gestures("run", MAIN).click(200, 200).click(800, 200).click(1500, 4)
    (turnout,) = g.layout.of_kind(Turnout)
    assert turnout.leg == RunEnd(run=PartId("R2"), end="end")
    assert turnout.on == OnRun(run=PartId("R1"), position_m=1.5)
    # Arriving rightwards, the leg leaves the toe towards the left: backward.
    assert turnout.opens == "backward"


def test_a_loop_from_a_run_back_to_it_has_a_turnout_at_each_end() -> None:
    g = Gestures("run", MAIN).click(400, 5).click(700, 100)
    g.click(1000, 150).click(1600, 3)
    assert len(list(g.layout.of_kind(Turnout))) == 2
    assert len(g.desk.changes) == 1


def test_what_cannot_be_reached_is_refused_with_a_word() -> None:
    # 8 mm before the end of the main, heading across it: no buildable arc.
    g = Gestures("run", MAIN).click(2030, -300).click(2030, -8)
    assert g.move(2003, 2).words == ["too tight to join here"]


def test_ctrl_draws_off_the_grid() -> None:
    g = Gestures("run").holding(ctrl=True).click(1.3, 2.7).click(500.9, 2.7)
    g.key("enter")
    run = only_run(g)
    assert (run.x_mm, run.y_mm) == (1.3, 2.7)
    assert isinstance(run.pieces[0], Straight)
    assert run.pieces[0].length_mm == pytest.approx(499.6)


def test_what_the_layout_cannot_take_is_refused_in_a_sentence() -> None:
    # Plans end a kilometre from their origin.
    g = Gestures("run").click(1_100_000, 0).move(1_100_500, 0)
    assert len(g.desk.refusals) == 1
    assert g.state == "Starting"
    assert g.desk.changes == []
    assert g.desk.marks == ()


def test_the_new_track_is_selected() -> None:
    g = Gestures("run").click(0, 0).click(500, 0).key("enter")
    assert g.desk.selection == {"R1"}
