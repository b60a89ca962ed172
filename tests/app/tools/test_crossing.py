"""Laying a crossing by gesture, and throwing one."""

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.parts import Crossing
from tests.app.tools.hand import Gestures
from tests.core.network.cross import across, crossing

MAIN, SIDING = across(1, 0.0), across(2, 20.0)


def test_a_click_where_two_tracks_cross_lays_a_diamond() -> None:
    g = Gestures("crossing", MAIN, SIDING).click(14, 8)
    (made,) = g.layout.of_kind(Crossing)
    assert (made.a.run, made.b.run, made.shape) == ("R1", "R2", "diamond")
    assert made.a.position_m == pytest.approx(1.0)
    assert g.desk.selection == {made.id}
    assert len(g.desk.changes) == 1


def test_it_is_shown_under_the_pointer_before_with_both_names() -> None:
    g = Gestures("crossing", MAIN, SIDING).move(10, 10)
    assert [type(part) for part in g.ghosts] == [Crossing]
    assert g.words == ["Main across Siding"]
    assert g.desk.changes == []


def test_away_from_where_tracks_cross_it_is_refused_in_words() -> None:
    g = Gestures("crossing", MAIN, SIDING).click(500, 0)
    assert g.desk.changes == []
    assert g.desk.refusals == [
        "No two tracks cross here. Click where one track crosses another."
    ]
    assert g.state == "Hovering"


def test_on_a_bridge_it_is_refused_and_the_height_is_told() -> None:
    g = Gestures("crossing", MAIN, across(2, 20.0, level_mm=75.0)).click(0, 0)
    assert g.desk.changes == []
    (refusal,) = g.desk.refusals
    assert "apart in height" in refusal
    assert "75" in refusal.replace("0.075", "75")


def test_a_second_one_on_the_same_spot_is_refused() -> None:
    g = Gestures("crossing", MAIN, SIDING, crossing()).click(0, 0)
    assert g.desk.changes == []
    assert g.desk.refusals[0].startswith("X1 is there already.")


def test_escape_while_the_button_is_down_leaves_no_trace() -> None:
    g = Gestures("crossing", MAIN, SIDING).move(0, 0).press(0, 0).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Hovering"


@pytest.mark.parametrize("tool", ["select", "probe"])
@pytest.mark.parametrize(
    ("made", "throws"),
    [
        (crossing("switched"), True),
        (crossing("insulated"), False),
        (crossing("uncut"), False),
        (crossing("insulated", "single slip"), True),
    ],
)
def test_a_double_click_throws_what_has_something_to_throw(
    tool: str, made: Crossing, *, throws: bool
) -> None:
    g = Gestures(tool, MAIN, SIDING, made).over("X1").double(0, 0)
    assert g.desk.thrown == ([PartId("X1")] if throws else [])


def test_a_move_that_takes_a_crossing_away_says_so() -> None:
    far = replace(SIDING, x_mm=SIDING.x_mm)
    g = Gestures("select", MAIN, far, crossing()).over("R2")
    g.move(0, 0).press(0, 0).move(0, 700)
    assert "takes 1 crossing away" in g.desk.measured
    g.key("escape")
    assert g.desk.changes == []
