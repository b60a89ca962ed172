"""The turnout tool: what hovers, what a click places, what is typed."""

import pytest

from app.tools.typed import read_branching
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import Arc, Gap, OnRun, Straight, TrackRun, Turnout
from tests.app.tools.hand import Gestures

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=4000.0),),
)
CURVE = TrackRun(
    id=PartId("R1"),
    name="Curve",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Arc(radius_mm=900.0, sweep_deg=180.0),),
)


def placed(g: Gestures) -> Turnout:
    (turnout,) = g.layout.of_kind(Turnout)
    return turnout


def test_a_click_on_a_track_places_a_turnout_and_its_leg_in_one_step() -> None:
    g = Gestures("turnout", MAIN).click(1000, 3)
    made = placed(g)
    assert (made.on, made.hand, made.opens) == (
        OnRun(run=MAIN.id, position_m=1.0),
        "left",
        "forward",
    )
    assert g.layout.need(PartId("R2"), TrackRun).name == "Track 2"
    assert len(g.desk.changes) == 1
    assert g.desk.selection == {made.id}
    assert g.state == "Hovering"


def test_it_hovers_before_the_click_and_says_what_it_is() -> None:
    g = Gestures("turnout", MAIN).move(1000, 3)
    assert {type(p) for p in g.ghosts} == {Turnout, TrackRun}
    # H0: 1 in 6, arctan(1/6) = 9.46°; the lead is 16.5 / (√37 − 6) = 199 mm.
    assert "left-hand turnout" in g.desk.measured
    assert "9.5° (1:6.0)" in g.desk.measured
    assert g.desk.changes == []


def test_off_the_track_nothing_hovers_and_a_click_places_nothing() -> None:
    g = Gestures("turnout", MAIN).move(1000, 300)
    assert g.ghosts == []
    g.click(1000, 300)
    assert g.desk.changes == []


def test_keys_flip_it_and_turn_it() -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("f").type("z").click(1000, 0)
    made = placed(g)
    assert (made.hand, made.opens) == ("right", "backward")
    g.type("fz").click(3000, 0)
    other = g.layout.need(PartId("T2"), Turnout)
    assert (other.hand, other.opens) == ("left", "forward")


@pytest.mark.parametrize(("steps", "count"), [(1, 1), (2, 2), (3, 2), (5, 1)], ids=str)
def test_a_key_goes_through_the_kinds(steps: int, count: int) -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("c" * steps).click(1000, 0)
    assert len(list(g.layout.of_kind(Turnout))) == count
    assert len(g.desk.changes) == 1


def test_shift_goes_back_through_them() -> None:
    g = Gestures("turnout", CURVE).move(900, 900).type("C")
    assert "curved turnout" in g.desk.measured


def test_a_wye_bends_the_track_too() -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("c").click(1000, 0)
    main = run_path(g.layout.need(MAIN.id, TrackRun))
    assert abs(main.end.y_mm) > 100


@pytest.mark.parametrize(("x", "opens"), [(0, "backward"), (4000, "forward")])
def test_on_a_free_end_it_opens_outward(x: float, opens: str) -> None:
    made = placed(Gestures("turnout", MAIN).click(x, 0))
    assert made.opens == opens


def test_a_typed_radius_is_the_leg_s() -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("600")
    assert g.desk.typed == "600"
    g.key("enter").click(1000, 0)
    bent = g.layout.need(PartId("R2"), TrackRun).pieces[0]
    assert isinstance(bent, Arc)
    assert bent.radius_mm == pytest.approx(600.0)
    assert g.desk.typed == ""


def test_what_is_typed_counts_without_enter_too() -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("10 deg").click(1000, 0)
    bent = g.layout.need(PartId("R2"), TrackRun).pieces[0]
    assert isinstance(bent, Arc)
    assert bent.sweep_deg == pytest.approx(10.0)


def test_escape_takes_back_what_was_typed_and_leaves_no_trace() -> None:
    g = Gestures("turnout", MAIN).move(1000, 0).type("600").key("escape")
    assert (g.desk.typed, g.desk.marks, g.desk.changes) == ("", (), [])
    g.move(1000, 0).press(1000, 0).key("escape")
    assert (g.state, g.desk.marks, g.desk.changes) == ("Hovering", (), [])


def test_where_there_is_no_room_it_says_why() -> None:
    gap = Gap(id=PartId("G1"), on=OnRun(run=MAIN.id, position_m=1.1))
    g = Gestures("turnout", MAIN, gap).move(1000, 0)
    assert g.ghosts == []
    assert "G1 cuts Main between toe and frog" in g.words[0]
    g.click(1000, 0)
    assert g.desk.changes == []
    assert "Place the turnout beside the gap" in g.desk.refusals[0]
    assert g.state == "Hovering"


@pytest.mark.parametrize(
    ("text", "radius", "angle"),
    [
        # R = g/2 · cot²(α/2): 8.25 / (√37 − 6)² and 8.25 / tan²(5°).
        ("1:6", 1204.4, 9.462),
        ("1/6", 1204.4, 9.462),
        ("10°", 1077.9, 10.0),
        ("10 deg", 1077.9, 10.0),
        ("600", 600.0, 13.376),
        ("r600", 600.0, 13.376),
        ("r600 8", 600.0, 8.0),
        ("600 8", 600.0, 8.0),
        ("0.6 m", 600.0, 13.376),
    ],
)
def test_shapes_as_they_are_typed(text: str, radius: float, angle: float) -> None:
    shape = read_branching(text, "m", 16.5)
    assert shape is not None
    assert shape.radius_mm == pytest.approx(radius, rel=1e-3)
    assert shape.angle_deg == pytest.approx(angle, abs=1e-3)


@pytest.mark.parametrize("text", ["", "1:", "1:0", "80°", "r", "abc", "1:900"])
def test_what_is_no_shape(text: str) -> None:
    assert read_branching(text, "m", 16.5) is None


# Dragged along its run


def yard(*more: Gap) -> Gestures:
    g = Gestures("turnout", MAIN, *more).click(1000, 0)
    drag = Gestures("select", *g.layout.parts.values())
    return drag.over("T1")


def test_a_turnout_is_dragged_along_its_run_with_its_leg() -> None:
    g = yard().drag((1020, 2), (1500, 4), (2020, 4))
    leg = g.layout.need(PartId("R2"), TrackRun)
    assert placed(g).on.position_m == pytest.approx(2.02)
    assert leg.x_mm == pytest.approx(2020.0)
    assert len(g.desk.changes) == 1


def test_dragged_where_it_has_no_room_it_stays_and_says_why() -> None:
    g = yard(Gap(id=PartId("G1"), on=OnRun(run=MAIN.id, position_m=2.1)))
    g.move(1020, 2).press(1020, 2).move(1500, 0).move(2000, 0)
    assert "G1 cuts Main" in g.words[0]
    g.release(2000, 0)
    assert placed(g).on.position_m == 1.0
    assert "G1 cuts Main" in g.desk.refusals[0]
