"""Devices, trains, gaps, benchwork, scale and probe, by gesture."""

import pytest

from core.layout.edits.add import set_backdrop
from core.layout.ids import PartId
from core.layout.parts import (
    Backdrop,
    Board,
    Booster,
    Bus,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Point,
    Straight,
    Strip,
    ToBus,
    ToPort,
    TrackRun,
)
from tests.app.tools.hand import Gestures
from tests.app.yard import yard

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=4000.0),),
)
PICTURE = Backdrop(media="image/png", data=b"", width_px=1000, height_px=500)


def test_a_booster_stands_where_it_is_clicked() -> None:
    g = Gestures("booster").click(101, 198)
    (booster,) = g.layout.of_kind(Booster)
    assert (booster.x_mm, booster.y_mm) == (100, 200)
    assert g.desk.selection == {booster.id}
    assert len(g.desk.changes) == 1


def test_a_strip_stands_where_it_is_let_go() -> None:
    g = Gestures("strip").move(0, 0).press(0, 0).move(250, 80).release(250, 80)
    (strip,) = g.layout.of_kind(Strip)
    assert (strip.x_mm, strip.y_mm) == (250, 80)


@pytest.mark.parametrize("tool", ["booster", "strip", "breaker"])
def test_it_is_shown_under_the_pointer_before(tool: str) -> None:
    g = Gestures(tool).move(300, 300)
    assert len(g.ghosts) == 1
    assert g.desk.changes == []


@pytest.mark.parametrize("tool", ["booster", "strip", "breaker", "train", "gap"])
def test_escape_while_the_button_is_down_leaves_no_trace(tool: str) -> None:
    g = Gestures(tool, MAIN).move(300, 0).press(300, 0).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Hovering"


def test_a_breaker_near_a_booster_is_fed_from_it() -> None:
    booster = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
    g = Gestures("breaker", booster).click(300, 0)
    (breaker,) = g.layout.of_kind(Inline)
    assert breaker.feed == ToPort(part=PartId("PB1"), port="out")
    assert breaker.device == "breaker"


def test_a_breaker_on_a_bus_goes_into_it_in_one_step() -> None:
    way = Bus(
        id=PartId("B1"),
        points=(Point(x_mm=0.0, y_mm=0.0), Point(x_mm=2000.0, y_mm=0.0)),
        start=ToPort(part=PartId("PB1")),
    )
    booster = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
    g = Gestures("breaker", booster, way).move(800, 6)
    assert {type(part) for part in g.ghosts} == {Inline, Bus}
    g.click(800, 6)
    (breaker,) = g.layout.of_kind(Inline)
    assert (breaker.x_mm, breaker.y_mm) == (800.0, 0.0)
    first, second = g.layout.of_kind(Bus)
    assert first.end == ToPort(part=breaker.id, port="in")
    assert second.start == ToPort(part=breaker.id, port="out")
    assert len(g.desk.changes) == 1
    assert g.desk.selection == {breaker.id}


def test_a_breaker_at_the_beginning_of_a_bus_is_refused_with_the_reason() -> None:
    way = Bus(
        id=PartId("B1"), points=(Point(x_mm=0.0, y_mm=0.0), Point(x_mm=900.0, y_mm=0.0))
    )
    g = Gestures("breaker", way).move(0, 0)
    assert "begins there" in g.words[0]
    g.click(0, 0)
    assert g.desk.changes == []
    assert "begins there" in g.desk.refusals[0]


def test_a_breaker_far_from_any_booster_has_no_feed() -> None:
    booster = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
    (breaker,) = Gestures("breaker", booster).click(500, 0).layout.of_kind(Inline)
    assert breaker.feed is None


def test_with_shift_a_breaker_is_a_lamp_limiter() -> None:
    booster = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
    g = Gestures("breaker", booster).holding(shift=True).click(300, 0)
    (lamp,) = g.layout.of_kind(Inline)
    assert (lamp.id, lamp.device, lamp.trip_a) == ("LL1", "lamp", None)
    assert lamp.feed == ToPort(part=PartId("PB1"), port="out")


def test_with_shift_a_lamp_goes_into_a_bus_or_is_dragged_to_its_feed() -> None:
    bus = Bus(id=PartId("B1"), points=(Point(x_mm=0, y_mm=0), Point(x_mm=2000, y_mm=0)))
    into = Gestures("breaker", bus).holding(shift=True).click(800, 3)
    assert [d.device for d in into.layout.of_kind(Inline)] == ["lamp"]
    assert len(list(into.layout.of_kind(Bus))) == 2
    g = Gestures("breaker", bus).holding(shift=True)
    g.drag((500, 400), (500, 200), (502, 3))
    (lamp,) = g.layout.of_kind(Inline)
    assert lamp.device == "lamp"
    assert lamp.feed == ToBus(part=PartId("B1"), position_m=0.5)
    assert len(g.desk.changes) == 1


def test_a_drag_from_a_breaker_says_what_feeds_it() -> None:
    bus = Bus(id=PartId("B1"), points=(Point(x_mm=0, y_mm=0), Point(x_mm=2000, y_mm=0)))
    g = Gestures("breaker", bus).drag((500, 400), (500, 200), (502, 3))
    (breaker,) = g.layout.of_kind(Inline)
    assert (breaker.x_mm, breaker.y_mm) == (500, 400)
    assert breaker.feed == ToBus(part=PartId("B1"), position_m=0.5)
    assert len(g.desk.changes) == 1


def test_a_train_stands_on_the_track() -> None:
    (load,) = Gestures("train", MAIN).click(1202, 6).layout.of_kind(Load)
    assert (load.on, load.use) == (OnRun(run=PartId("R1"), position_m=1.2), "train")


def test_with_shift_it_is_a_standing_load() -> None:
    g = Gestures("train", MAIN).holding(shift=True).click(1200, 0)
    assert next(g.layout.of_kind(Load)).use == "standing"


@pytest.mark.parametrize("tool", ["train", "gap", "drop"])
def test_off_the_track_nothing_is_placed(tool: str) -> None:
    assert Gestures(tool, MAIN).click(1200, 300).desk.changes == []


def test_a_gap_cuts_both_rails() -> None:
    (gap,) = Gestures("gap", MAIN).click(1202, 6).layout.of_kind(Gap)
    assert (gap.on.position_m, gap.rails) == (1.2, "both")


@pytest.mark.parametrize(("y", "rails"), [(5, "left"), (-5, "right")])
def test_with_shift_a_gap_cuts_the_nearer_rail(y: float, rails: str) -> None:
    g = Gestures("gap", MAIN).holding(shift=True).click(1200, y)
    assert next(g.layout.of_kind(Gap)).rails == rails


def test_a_gap_is_pulled_to_a_rail_joint() -> None:
    # The default piece is 914 mm long.
    g = Gestures("gap", MAIN).move(918, 3)
    assert g.words == ["joint of Main"]
    assert next(g.click(918, 3).layout.of_kind(Gap)).on.position_m == 0.914


def test_a_board_is_dragged_from_corner_to_corner() -> None:
    g = Gestures("board").drag((1000, 500), (400, 200), (0, 0))
    (board,) = g.layout.of_kind(Board)
    assert (board.x_mm, board.y_mm) == (0, 0)
    assert (board.width_mm, board.depth_mm) == (1000, 500)
    assert len(g.desk.changes) == 1


def test_a_board_may_be_clicked_and_its_size_typed() -> None:
    g = Gestures("board").click(100, 100).move(150, 50).type("2400 x 600")
    g.key("enter")
    (board,) = g.layout.of_kind(Board)
    assert (board.x_mm, board.y_mm) == (100, -500)
    assert (board.width_mm, board.depth_mm) == (2400, 600)


def test_a_joist_is_pulled_straight() -> None:
    g = Gestures("joist").drag((0, 0), (3, 300), (4, 600))
    (joist,) = g.layout.of_kind(Joist)
    assert (joist.x2_mm, joist.y2_mm) == (0, 600)


@pytest.mark.parametrize("tool", ["board", "joist"])
def test_escape_leaves_no_benchwork(tool: str) -> None:
    g = Gestures(tool).click(0, 0).move(500, 400).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Waiting"


def test_a_board_of_no_size_is_not_made() -> None:
    assert Gestures("board").click(0, 0).click(0, 0).desk.changes == []


def test_two_points_and_a_distance_give_the_picture_its_scale() -> None:
    # 200 px apart on a picture at 1 mm/px; they are 600 mm apart: 3 mm/px. The
    # first point stays: the corner goes from 100 left of it to 300 left of it.
    g = Gestures("scale", PICTURE).click(100, 50).click(300, 50).type("600")
    g.key("enter")
    backdrop = g.layout.backdrop
    assert backdrop is not None
    assert backdrop.mm_per_px == pytest.approx(3.0)
    assert (backdrop.x_mm, backdrop.y_mm) == pytest.approx((-200.0, -100.0))
    assert len(g.desk.changes) == 1
    assert g.state == "Waiting"


@pytest.mark.parametrize("clicks", [1, 2])
def test_escape_leaves_the_scale_alone(clicks: int) -> None:
    g = Gestures("scale", PICTURE)
    for i in range(clicks):
        g.click(200 * i, 0)
    g.key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Waiting"


def test_without_a_picture_there_is_nothing_to_scale() -> None:
    g = Gestures("scale").click(0, 0)
    assert len(g.desk.refusals) == 1
    assert g.state == "Waiting"


def test_the_hint_of_the_scale_tool_follows_once_there_is_a_picture() -> None:
    g = Gestures("scale").move(0, 0)
    assert "no picture" in g.desk.hints[-1]
    change = set_backdrop(g.layout, PICTURE)
    g.layout.apply(change)
    assert "Click on a point" in g.move(10, 0).desk.hints[-1]


def test_the_probe_reads_where_it_is_clicked_and_dragged() -> None:
    g = Gestures("probe", MAIN).drag((1000, 3), (1500, 4), (1600, -4))
    assert [p.position_m for p in g.desk.probed if p] == [1.0, 1.5, 1.6]
    assert g.desk.changes == []
    assert g.state == "Hovering"


def test_a_click_off_the_track_takes_the_probe_away() -> None:
    assert Gestures("probe", MAIN).click(1000, 300).desk.probed == [None]


def test_a_double_click_with_the_probe_throws_the_turnout_under_it() -> None:
    g = Gestures("probe", *yard().parts.values()).over("T1").double(1000, 0)
    assert (g.desk.thrown, g.state) == (["T1"], "Hovering")


def test_a_throw_leaves_the_probe_where_it_was_before_the_first_click() -> None:
    g = Gestures("probe", *yard().parts.values())
    g.over("R1").click(500, 0)
    (before,) = g.desk.probed
    g.over("T1").double(1000, 0)
    assert g.desk.probed[-1] == before
    assert g.desk.thrown == ["T1"]


def test_a_double_click_with_the_probe_off_any_turnout_only_reads() -> None:
    g = Gestures("probe", *yard().parts.values()).over("R1").double(500, 0)
    assert (g.desk.thrown, len(g.desk.probed)) == ([], 2)
