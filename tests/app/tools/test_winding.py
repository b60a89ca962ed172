"""The helix tool, and things placed on the turns of a helix."""

from math import pi

import pytest
from msgspec.structs import replace

from app.tools.typed import Helix, read_helix
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Drop,
    Gap,
    Load,
    OnRun,
    Straight,
    TrackJoint,
    TrackRun,
)
from tests.app.tools.hand import Gestures

ROUND_M = 2.0 * pi * 0.46
"""Once round a radius of 460 mm: 2.890 m."""

# Begins at the east of its middle, which is at (0, 0), going counter-clockwise.
HELIX = TrackRun(
    id=PartId("R1"),
    name="Helix",
    x_mm=460.0,
    y_mm=0.0,
    heading_deg=90.0,
    pieces=(Arc(radius_mm=460.0, sweep_deg=2160.0),),
    level_mm=1050.0,
    level_end_mm=1450.0,
)
MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=1000.0),),
)


def test_a_click_places_a_helix_round_the_pointer() -> None:
    g = Gestures("helix").click(2000, 1000)
    (run,) = g.layout.of_kind(TrackRun)
    # Three turns of 30 gauges, 495 mm, rounded to 500.
    assert run.pieces == (Arc(radius_mm=500.0, sweep_deg=1080.0),)
    x0, y0, x1, y1 = run_path(run).bounds()
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((2000, 1000), abs=1.0)
    assert run.level_end_mm is not None
    assert len(g.desk.changes) == 1
    assert g.desk.selection == {run.id}


def test_it_hovers_and_tells_length_and_grade() -> None:
    g = Gestures("helix").move(0, 0).type("460x6x65")
    # 6·2π·0.46 = 17.34 m, 390 mm of climb: 2.2 %.
    assert "6 turns of radius 460 mm" in g.desk.measured
    assert "17.34 m" in g.desk.measured
    assert "up 390 mm, 2.2%" in g.desk.measured
    assert len(g.ghosts) == 1
    assert g.desk.changes == []


def test_a_drag_gives_the_radius_and_where_it_begins() -> None:
    g = Gestures("helix").drag((0, 0), (0, 300), (0, 620))
    (run,) = g.layout.of_kind(TrackRun)
    assert (run.x_mm, run.y_mm) == pytest.approx((0, 620))
    assert run.pieces[0] == Arc(radius_mm=620.0, sweep_deg=1080.0)


def test_on_a_free_end_it_goes_on_from_it() -> None:
    g = Gestures("helix", MAIN).move(1000, 0).type("f").click(1000, 0)
    (joint,) = g.layout.of_kind(TrackJoint)
    made = g.layout.need(joint.b.run, TrackRun)
    assert (made.x_mm, made.y_mm) == pytest.approx((1000, 0))
    piece = made.pieces[0]
    assert isinstance(piece, Arc)
    assert piece.sweep_deg == -1080.0


def test_keys_change_turns_way_and_climb() -> None:
    g = Gestures("helix").move(0, 0)
    g.key("page up").key("page up").key("page down").type("z")
    g.click(0, 0)
    (run,) = g.layout.of_kind(TrackRun)
    assert run.pieces[0] == Arc(radius_mm=500.0, sweep_deg=1440.0)
    # Down 4 times 5.5 gauges: 90.75 mm, rounded to 90.
    assert run.level_end_mm == -360.0


def test_escape_leaves_no_trace() -> None:
    g = Gestures("helix").move(0, 0).type("460").key("escape")
    assert (g.desk.typed, g.desk.marks, g.desk.changes) == ("", (), [])
    g.press(0, 0).move(0, 300).key("escape")
    assert (g.state, g.desk.marks, g.desk.changes) == ("Hovering", (), [])


@pytest.mark.parametrize(
    ("text", "helix"),
    [
        ("460", Helix(460.0)),
        ("460 x 6", Helix(460.0, 6.0)),
        ("460x6x65", Helix(460.0, 6.0, 65.0)),
        ("0.46 m × 2,5 × 65", Helix(460.0, 2.5, 65.0)),
        ("460 x 6 x 0", Helix(460.0, 6.0, 0.0)),
        ("460 x", Helix(460.0)),
        ("", None),
        ("5", None),
        ("460 x 200", None),
        ("460 x a", None),
        ("460 x 6 x 65 x 1", None),
        ("460 x 6 x b", None),
    ],
)
def test_helices_as_they_are_typed(text: str, helix: Helix | None) -> None:
    assert read_helix(text, "m") == helix


# Places on turns


def test_the_probe_steps_from_turn_to_turn() -> None:
    g = Gestures("probe", HELIX).move(0, 460)
    assert "turn 1 of 6" in g.words[0]
    g.key("page up").key("page up")
    assert "turn 3 of 6" in g.words[0]
    g.click(0, 460)
    (place,) = g.desk.probed
    assert place is not None
    # A quarter of the way round, two turns up.
    assert place.position_m == pytest.approx(2.25 * ROUND_M, abs=0.01)
    g.key("page down").click(0, 460)
    assert g.desk.probed[-1] is not None
    assert g.desk.probed[-1].position_m == pytest.approx(1.25 * ROUND_M, abs=0.01)


def test_there_is_no_turn_below_the_first_nor_above_the_last() -> None:
    g = Gestures("probe", HELIX).move(0, 460).key("page down")
    assert "turn 1 of 6" in g.words[0]
    for _ in range(9):
        g.key("page up")
    assert "turn 6 of 6" in g.words[0]
    g.key("page down")
    assert "turn 5 of 6" in g.words[0]


@pytest.mark.parametrize(
    ("tool", "kind"), [("drop", Drop), ("gap", Gap), ("train", Load)]
)
def test_things_are_placed_on_the_turn_that_was_chosen(
    tool: str, kind: type[Drop | Gap | Load]
) -> None:
    g = Gestures(tool, HELIX).move(-460, 0).key("page up").click(-460, 0)
    (made,) = g.layout.of_kind(kind)
    assert made.on.position_m == pytest.approx(1.5 * ROUND_M, abs=0.01)


def on(turns: float) -> OnRun:
    return OnRun(run=HELIX.id, position_m=turns * ROUND_M)


def test_a_drop_dragged_round_stays_on_its_turn() -> None:
    drop = Drop(id=PartId("D1"), on=on(3.25))
    g = Gestures("select", HELIX, drop).over("D1")
    g.drag((0, 460), (-200, 420), (-460, 0))
    (moved,) = g.layout.of_kind(Drop)
    assert moved.on.position_m == pytest.approx(3.5 * ROUND_M, abs=0.01)


def test_a_drop_that_is_dragged_can_be_put_on_another_turn() -> None:
    drop = Drop(id=PartId("D1"), on=on(3.25))
    g = Gestures("select", HELIX, drop).over("D1")
    g.move(0, 460).press(0, 460).move(-200, 420).key("page up").release(-460, 0)
    (moved,) = g.layout.of_kind(Drop)
    assert moved.on.position_m == pytest.approx(4.5 * ROUND_M, abs=0.01)


def test_a_drop_s_handle_stays_on_its_turn_too() -> None:
    drop = Drop(id=PartId("D1"), on=on(3.25))
    g = Gestures("select", HELIX, drop)
    g.desk.selection = frozenset((drop.id,))
    g.drag((0, 460), (-200, 420), (-460, 0))
    (moved,) = g.layout.of_kind(Drop)
    assert moved.on.position_m == pytest.approx(3.5 * ROUND_M, abs=0.01)


def test_on_plain_track_the_keys_do_nothing() -> None:
    g = Gestures("probe", MAIN).move(500, 0).key("page up")
    assert g.words == ["on Main"]
    flat = replace(HELIX, pieces=(Arc(radius_mm=460.0, sweep_deg=300.0),))
    assert "turn" not in Gestures("probe", flat).move(0, 460).words[0]


def test_track_drawn_on_from_a_helix_is_level_track_of_its_own() -> None:
    # Six whole turns: the top ends where it began, looking the same way.
    flat = replace(HELIX, pieces=(Arc(radius_mm=460.0, sweep_deg=2250.0),))
    g = Gestures("run", flat).click(0, 460).click(-600, 460).key("enter")
    (joint,) = g.layout.of_kind(TrackJoint)
    made = g.layout.need(joint.b.run, TrackRun)
    assert (made.level_mm, made.level_end_mm) == (1450.0, None)
    assert made.pieces == (Straight(length_mm=600.0),)
    assert g.layout.need(HELIX.id, TrackRun) == flat
    assert len(g.desk.changes) == 1
