"""The selecting hand, by gesture."""

import pytest

from app.tools.marks import Frame
from app.tools.selecting.handles import handles_of
from core.layout.ids import BACKDROP_ID, PartId
from core.layout.parts import (
    Backdrop,
    Board,
    Booster,
    Bus,
    Drop,
    Inline,
    Joist,
    OnRun,
    Point,
    RunEnd,
    Straight,
    ToBus,
    ToPort,
    TrackJoint,
    TrackRun,
)
from tests.app.tools.hand import Gestures
from tests.app.yard import yard

BOOSTER = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
OTHER = Booster(id=PartId("PB2"), x_mm=500.0, y_mm=0.0)
MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=1000.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=1000.0),),
)
BUS = Bus(
    id=PartId("B1"),
    points=(
        Point(x_mm=0.0, y_mm=0.0),
        Point(x_mm=500.0, y_mm=300.0),
        Point(x_mm=1000.0, y_mm=300.0),
    ),
    start=ToPort(part=PartId("PB1")),
)
DROP = Drop(
    id=PartId("D1"),
    on=OnRun(run=PartId("R1"), position_m=0.4),
    to=ToBus(part=PartId("B1"), position_m=0.8),
)


def ids(*names: str) -> frozenset[PartId]:
    return frozenset(PartId(n) for n in names)


def test_a_click_selects_what_is_under_it_and_nothing_else() -> None:
    g = Gestures("select", BOOSTER, OTHER).over("PB1").click(0, 0)
    assert g.desk.selection == {"PB1"}
    assert g.over("PB2").click(500, 0).desk.selection == {"PB2"}
    assert g.over(None).click(200, 200).desk.selection == frozenset()
    assert g.desk.changes == []


@pytest.mark.parametrize("key", ["shift", "ctrl"])
def test_with_shift_or_ctrl_a_click_adds_and_takes_out(key: str) -> None:
    g = Gestures("select", BOOSTER, OTHER).over("PB1").click(0, 0)
    g.holding(**{key: True}).over("PB2").click(500, 0)
    assert g.desk.selection == {"PB1", "PB2"}
    assert g.over("PB1").click(0, 0).desk.selection == {"PB2"}
    assert g.over(None).click(200, 200).desk.selection == {"PB2"}


def test_a_drag_moves_a_part_by_whole_steps() -> None:
    g = Gestures("select", BOOSTER).over("PB1").drag((3, 4), (60, 30), (103, 53))
    booster = g.layout.need(PartId("PB1"), Booster)
    # 100 and 49 mm: at 1 mm a pixel the step is 5 mm.
    assert (booster.x_mm, booster.y_mm) == (100, 50)
    assert len(g.desk.changes) == 1
    assert g.desk.selection == {"PB1"}
    assert g.state == "Resting"


def test_a_drag_of_a_selected_part_moves_all_that_are_selected() -> None:
    g = Gestures("select", BOOSTER, OTHER)
    g.desk.selection = ids("PB1", "PB2")
    g.over("PB2").drag((500, 0), (520, 0), (600, 0))
    assert g.layout.need(PartId("PB1"), Booster).x_mm == 100
    assert g.layout.need(PartId("PB2"), Booster).x_mm == 600


def test_attached_ends_follow_in_the_preview_and_in_the_layout() -> None:
    g = Gestures("select", BOOSTER, BUS).over("PB1")
    g.move(0, 0).press(0, 0).move(-100, -50)
    shown = {p.id: p for p in g.ghosts}
    bus = shown[PartId("B1")]
    assert isinstance(bus, Bus)
    assert bus.points[0] == Point(x_mm=-100.0, y_mm=-50.0)
    assert g.layout.need(PartId("B1"), Bus) is BUS
    g.release(-100, -50)
    assert g.layout.need(PartId("B1"), Bus).points[0] == Point(x_mm=-100.0, y_mm=-50.0)
    assert len(g.desk.changes) == 1


def test_shift_moves_along_or_across() -> None:
    g = Gestures("select", BOOSTER).over("PB1").move(0, 0).press(0, 0)
    g.holding(shift=True).move(30, 200).release(30, 200)
    booster = g.layout.need(PartId("PB1"), Booster)
    assert (booster.x_mm, booster.y_mm) == (0, 200)


def test_ctrl_moves_off_the_grid() -> None:
    g = Gestures("select", BOOSTER).over("PB1").move(0, 0).press(0, 0)
    g.holding(ctrl=True).move(33.3, 21.7).release(33.3, 21.7)
    assert g.layout.need(PartId("PB1"), Booster).x_mm == pytest.approx(33.3)


@pytest.mark.parametrize("part", ["PB1", None])
def test_escape_in_a_drag_leaves_no_trace(part: str | None) -> None:
    g = Gestures("select", BOOSTER).over(part)
    g.desk.selection = ids("PB1")
    g.move(200, 200).press(200, 200).move(300, 300).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.desk.selection == {"PB1"}
    assert g.state == "Resting"


def test_escape_at_rest_selects_nothing() -> None:
    g = Gestures("select", BOOSTER).over("PB1").click(0, 0).key("escape")
    assert g.desk.selection == frozenset()


def test_a_drag_on_the_ground_draws_a_box() -> None:
    g = Gestures("select", BOOSTER, OTHER)
    g.desk.boxed = ids("PB1", "PB2")
    g.move(-100, -100).press(-100, -100).move(600, 100)
    assert g.desk.marks == (Frame(-100, -100, 600, 100, "box"),)
    g.release(600, 100)
    assert g.desk.selection == {"PB1", "PB2"}
    assert g.desk.box == ((-100, -100), (600, 100), False)


def test_a_box_drawn_leftwards_takes_what_it_touches() -> None:
    g = Gestures("select", BOOSTER).drag((600, 100), (300, 50), (-100, -100))
    assert g.desk.box[2] is True


def test_with_shift_a_box_adds() -> None:
    g = Gestures("select", BOOSTER, OTHER)
    g.desk.selection, g.desk.boxed = ids("PB2"), ids("PB1")
    g.holding(shift=True).drag((-100, -100), (0, 0), (100, 100))
    assert g.desk.selection == {"PB1", "PB2"}


def test_arrows_nudge_and_nudges_in_a_row_count_as_one_step() -> None:
    g = Gestures("select", BOOSTER).over("PB1").click(0, 0)
    g.key("right").key("up").holding(shift=True).key("up")
    booster = g.layout.need(PartId("PB1"), Booster)
    assert (booster.x_mm, booster.y_mm) == (10, 110)
    keys = {change.merge_key for change in g.desk.changes}
    assert len(keys) == 1
    assert keys != {""}


def test_ctrl_nudges_finely() -> None:
    g = Gestures("select", BOOSTER).over("PB1").click(0, 0)
    g.holding(ctrl=True).key("left")
    assert g.layout.need(PartId("PB1"), Booster).x_mm == pytest.approx(-1.0)


def test_delete_removes_what_is_selected() -> None:
    g = Gestures("select", BOOSTER, OTHER).over("PB1").click(0, 0).key("delete")
    assert PartId("PB1") not in g.layout.parts
    assert len(g.desk.changes) == 1


def test_keys_without_a_selection_do_nothing() -> None:
    g = Gestures("select", BOOSTER).key("delete").key("left")
    assert g.desk.changes == []


def test_a_drop_is_dragged_along_its_track() -> None:
    g = Gestures("select", MAIN, BUS, BOOSTER, DROP).over("D1")
    g.drag((400, 1000), (500, 1004), (650, 996))
    assert g.layout.need(PartId("D1"), Drop).on == OnRun(
        run=PartId("R1"), position_m=0.65
    )
    assert len(g.desk.changes) == 1


def test_a_drop_let_go_off_the_track_stays_where_it_was() -> None:
    g = Gestures("select", MAIN, BUS, BOOSTER, DROP).over("D1")
    g.drag((400, 1000), (500, 700), (650, 500))
    assert g.desk.changes == []


def test_track_is_pulled_to_a_free_end_in_line_and_joined() -> None:
    other = TrackRun(
        id=PartId("R2"),
        x_mm=1500.0,
        y_mm=1300.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=500.0),),
    )
    g = Gestures("select", MAIN, other).over("R2")
    g.move(1700, 1300).press(1700, 1300).move(1204, 1006)
    assert g.words == ["end of Main"]
    g.release(1204, 1006)
    moved = g.layout.need(PartId("R2"), TrackRun)
    assert (moved.x_mm, moved.y_mm) == pytest.approx((1000.0, 1000.0))
    assert len(list(g.layout.of_kind(TrackJoint))) == 1
    assert len(g.desk.changes) == 1


def test_a_double_click_on_track_selects_all_that_is_joined_to_it() -> None:
    runs = [
        TrackRun(
            id=PartId(f"R{i}"),
            x_mm=1000.0 * i,
            y_mm=0.0,
            heading_deg=0.0,
            pieces=(Straight(length_mm=1000.0),),
        )
        for i in (1, 2, 3, 4)
    ]
    joints = [
        TrackJoint(
            id=PartId(f"J{i}"),
            a=RunEnd(run=PartId(f"R{i}"), end="end"),
            b=RunEnd(run=PartId(f"R{i + 1}"), end="start"),
        )
        for i in (2, 1)
    ]
    g = Gestures("select", *runs, *joints).over("R1").double(1500, 0)
    assert g.desk.selection == {"R1", "R2", "R3", "J1", "J2"}


def test_tearing_track_apart_is_said_before_it_is_done() -> None:
    other = TrackRun(
        id=PartId("R2"),
        x_mm=1000.0,
        y_mm=1000.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=500.0),),
    )
    joint = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=PartId("R1"), end="end"),
        b=RunEnd(run=PartId("R2"), end="start"),
    )
    g = Gestures("select", MAIN, other, joint).over("R2")
    g.move(1200, 1000).press(1200, 1000).move(1200, 1100)
    assert g.desk.measured.endswith("parts 1 joint")
    g.release(1200, 1100)
    assert list(g.layout.of_kind(TrackJoint)) == []


def test_a_corner_of_the_selected_bus_is_pulled() -> None:
    g = Gestures("select", BOOSTER, BUS)
    g.desk.selection = ids("B1")
    g.over("B1").drag((502, 298), (550, 250), (600, 100))
    assert g.layout.need(PartId("B1"), Bus).points[1] == Point(x_mm=600.0, y_mm=100.0)
    assert len(g.desk.changes) == 1
    assert g.desk.changes[0].merge_key == ""


def test_an_attached_bus_end_is_pulled_off_and_joined_to_another() -> None:
    g = Gestures("select", BOOSTER, OTHER, BUS)
    g.desk.selection = ids("B1")
    g.drag((0, 0), (200, 0), (505, 3))
    bus = g.layout.need(PartId("B1"), Bus)
    assert bus.start == ToPort(part=PartId("PB2"), port="out")
    assert bus.points[0] == Point(x_mm=500.0, y_mm=0.0)
    assert len(g.desk.changes) == 1


def test_the_far_end_of_a_drop_is_pulled_to_another_thing() -> None:
    g = Gestures("select", MAIN, BUS, BOOSTER, DROP)
    g.desk.selection = ids("D1")
    far = next(h for h in handles_of(g.layout, g.desk.selection) if h.kind == "lead")
    g.drag((far.x_mm, far.y_mm), (300, 100), (5, 5))
    assert g.layout.need(PartId("D1"), Drop).to == ToPort(
        part=PartId("PB1"), port="out"
    )


def test_the_feed_of_a_breaker_is_pulled_to_another_booster() -> None:
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=200.0,
        y_mm=300.0,
        feed=ToPort(part=PartId("PB1")),
    )
    g = Gestures("select", BOOSTER, OTHER, breaker)
    g.desk.selection = ids("CB1")
    g.drag((0, 0), (200, 0), (505, 3))
    assert g.layout.need(PartId("CB1"), Inline).feed == ToPort(
        part=PartId("PB2"), port="out"
    )


def test_a_corner_of_a_board_is_pulled() -> None:
    board = Board(id=PartId("BD1"), x_mm=0.0, y_mm=0.0, width_mm=1000.0, depth_mm=500.0)
    g = Gestures("select", board)
    g.desk.selection = ids("BD1")
    g.drag((0, 500), (-50, 550), (-200, 700))
    resized = g.layout.need(PartId("BD1"), Board)
    assert (resized.x_mm, resized.y_mm) == (-200, 0)
    assert (resized.width_mm, resized.depth_mm) == (1200, 700)


def test_an_end_of_a_joist_is_pulled() -> None:
    joist = Joist(id=PartId("JS1"), x1_mm=0.0, y1_mm=0.0, x2_mm=0.0, y2_mm=600.0)
    g = Gestures("select", joist)
    g.desk.selection = ids("JS1")
    g.drag((0, 600), (0, 650), (0, 800))
    assert g.layout.need(PartId("JS1"), Joist).y2_mm == 800


def test_several_selected_parts_have_no_handles() -> None:
    g = Gestures("select", BOOSTER, BUS)
    assert handles_of(g.layout, ids("B1", "PB1")) == ()


def test_a_handle_that_is_only_pressed_changes_nothing() -> None:
    g = Gestures("select", BOOSTER, BUS)
    g.desk.selection = ids("B1")
    g.click(500, 300)
    assert g.desk.changes == []
    assert g.desk.selection == {"B1"}


def test_a_double_click_on_a_selected_bus_makes_a_corner_and_takes_one_out() -> None:
    g = Gestures("select", BOOSTER, BUS).over("B1")
    g.desk.selection = ids("B1")
    g.double(800, 300)
    assert len(g.layout.need(PartId("B1"), Bus).points) == 4
    g.double(800, 300)
    assert g.layout.need(PartId("B1"), Bus).points == BUS.points


def test_a_double_click_on_the_ground_selects_the_picture() -> None:
    picture = Backdrop(media="image/png", data=b"", width_px=10, height_px=10)
    g = Gestures("select", picture).double(100, 100)
    assert g.desk.selection == {BACKDROP_ID}


def test_a_double_click_on_a_turnout_throws_it() -> None:
    g = Gestures("select", *yard().parts.values()).over("T1").double(1000, 0)
    assert (g.desk.thrown, g.desk.changes, g.state) == (["T1"], [], "Resting")
