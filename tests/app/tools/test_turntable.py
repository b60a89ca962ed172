"""Placing a turntable, drawing stalls up to it, turning its bridge by double click."""

import pytest

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, RunEnd, Straight, TrackRun, Turntable
from core.layout.turntables import standing_at
from tests.app.tools.hand import Gestures
from tests.core.checks.shed import shed


def bare() -> tuple[Part, ...]:
    """Return a pit of 300 mm round 0, 0, without stalls or power."""
    return tuple(shed(without=["PB1", "D1"]).parts.values())


def the_table(layout: Layout) -> Turntable:
    (table,) = layout.of_kind(Turntable)
    return table


def test_a_drag_from_the_middle_to_the_edge_places_it_in_one_step() -> None:
    g = Gestures("turntable").drag((500, 500), (600, 500), (650, 500))
    table = the_table(g.layout)
    assert (table.x_mm, table.y_mm, table.across_mm) == (500.0, 500.0, 300.0)
    assert len(g.desk.changes) == 1
    assert g.desk.selection == {table.id, table.bridge}


def test_a_typed_diameter_is_exact_and_the_bridge_lies_towards_the_pointer() -> None:
    g = Gestures("turntable").click(500, 500).move(500, 580).type("310")
    g.key("enter")
    assert the_table(g.layout).across_mm == pytest.approx(310.0)
    bridge = g.layout.need(the_table(g.layout).bridge, TrackRun)
    assert bridge.heading_deg == pytest.approx(90.0)


def test_dragged_near_the_end_of_a_track_the_edge_lies_on_it() -> None:
    # The spur comes from the left and ends 237.3 mm before the pit's middle.
    spur = TrackRun(
        id=PartId("R1"),
        x_mm=-1000.0,
        y_mm=0.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=762.7),),
    )
    g = Gestures("turntable", spur, mm_per_px=4.0)
    g.drag((0, 0), (-150, 0), (-221, 20))
    table = the_table(g.layout)
    assert table.across_mm == pytest.approx(2 * 237.3)
    assert table.stalls == (RunEnd(run=spur.id, end="end"),)
    assert [p.number for p in standing_at(g.layout, table)] == [1]


def test_its_size_is_told_while_it_is_drawn() -> None:
    g = Gestures("turntable").click(500, 500).move(650, 500)
    assert "300 mm across" in g.desk.measured
    assert any(isinstance(part, Turntable) for part in g.ghosts)


def test_escape_leaves_no_trace() -> None:
    g = Gestures("turntable").click(500, 500).move(650, 500)
    g.key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()


def test_track_from_the_edge_runs_straight_out_and_is_a_stall() -> None:
    g = Gestures("run", *bare())
    g.click(152, 0)
    assert g.state == "Drawing"
    g.click(600, 4).key("enter")
    assert the_table(g.layout).stalls == (RunEnd(run=_new(g), end="start"),)
    assert run_path(g.layout.need(_new(g), TrackRun)).start.x_mm == pytest.approx(150.0)


def test_track_up_to_the_edge_ends_there_and_is_a_stall() -> None:
    g = Gestures("run", *bare())
    g.click(-700, 0).move(-148, 3)
    assert g.words == ["stall of TT1"]
    g.click(-148, 3)
    assert the_table(g.layout).stalls == (RunEnd(run=_new(g), end="end"),)
    assert len(g.desk.changes) == 1


def test_a_slanting_way_in_goes_straight_to_the_middle() -> None:
    g = Gestures("run", *bare())
    g.click(500, 290).click(132, 76)
    path = run_path(g.layout.need(_new(g), TrackRun))
    assert len(g.layout.need(_new(g), TrackRun).pieces) == 1
    assert the_table(g.layout).stalls
    assert path.end.x_mm * 290 == pytest.approx(path.end.y_mm * 500, rel=1e-6)


def test_track_is_not_drawn_off_the_bridge() -> None:
    g = Gestures("run", *bare())
    g.move(0, 40)
    assert g.words == []


def test_a_double_click_by_a_stall_brings_the_bridge_there() -> None:
    g = Gestures("select", *shed(30, 150).parts.values())
    g.over("TT1").double(120, 69)
    assert _stands(g) == [(1, "end")]
    assert len(g.desk.changes) == 1


def test_again_it_turns_the_bridge_end_for_end() -> None:
    g = Gestures("select", *shed(30, 150).parts.values())
    g.over("TT1").double(120, 69)
    g.over("R1").double(120, 69)
    assert _stands(g) == [(1, "start")]


def test_a_double_click_on_the_track_of_a_stall_at_the_pit_does_too() -> None:
    g = Gestures("select", *shed(30, 150).parts.values())
    g.over("R3").double(-150, 86)
    assert _stands(g) == [(2, "end")]


def test_farther_out_it_selects_the_joined_track_as_ever() -> None:
    g = Gestures("select", *shed(30, 150).parts.values())
    g.over("R3").double(-500, 289)
    assert g.desk.changes == []
    assert g.desk.selection == {"R3"}


def test_the_probe_turns_bridges_too() -> None:
    g = Gestures("probe", *shed(30, 150).parts.values())
    g.over("TT1").double(-120, 69)
    assert _stands(g) == [(2, "end")]


def _stands(g: Gestures) -> list[tuple[int, str]]:
    return [(p.number, p.by) for p in standing_at(g.layout, the_table(g.layout))]


def _new(g: Gestures) -> PartId:
    (run,) = (r.id for r in g.layout.of_kind(TrackRun) if r.id != "R1")
    return run
