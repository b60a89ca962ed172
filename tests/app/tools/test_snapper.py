"""The snap engine, against places worked by hand; 1 mm a pixel unless said."""

from math import pi

import pytest

from app.tools.pointer import Snap
from app.tools.snapping.snapper import Snapper
from app.tools.snapping.steps import round_step_mm
from app.tools.snapping.wish import GRID, POWER, TRACK, Wish
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    Part,
    Point,
    RunEnd,
    Straight,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
)

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=1000.0), Arc(radius_mm=500.0, sweep_deg=90.0)),
)
BUS = Bus(
    id=PartId("B2"),
    points=(Point(x_mm=0.0, y_mm=-300.0), Point(x_mm=2000.0, y_mm=-300.0)),
)
ENDS = Wish(kinds=frozenset(("end", "run")), grid=True)
WIRES = Wish(kinds=POWER, grid=True)


def snapper(*parts: Part) -> Snapper:
    return Snapper(Layout({part.id: part for part in parts}))


def place(snap: Snap) -> tuple[float, float]:
    return snap.x_mm, snap.y_mm


def test_the_end_of_a_run_pulls_and_tells_the_way_out() -> None:
    # After 1000 right and a quarter turn of radius 500 it ends at (1500, 500), up.
    snap = snapper(MAIN).snap((1508.0, 505.0), ENDS, 1.0)
    assert place(snap) == pytest.approx((1500.0, 500.0))
    assert snap.on == RunEnd(run=PartId("R1"), end="end")
    assert snap.heading == pytest.approx(pi / 2)
    assert snap.word == "end of Main"


def test_the_start_of_a_run_looks_back() -> None:
    snap = snapper(MAIN).snap((-3.0, 2.0), ENDS, 1.0)
    assert snap.on == RunEnd(run=PartId("R1"), end="start")
    assert snap.heading == pytest.approx(pi)
    assert snap.word == "start of Main"


def test_an_end_that_is_joined_does_not_pull() -> None:
    joint = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=PartId("R1"), end="end"),
        b=RunEnd(run=PartId("R9"), end="start"),
    )
    snap = snapper(MAIN, joint).snap((1508.0, 505.0), ENDS, 1.0)
    assert snap.kind == "run"


def test_an_end_out_of_reach_does_not_pull() -> None:
    # 13 px away along the way out; ends pull from 12 px.
    assert snapper(MAIN).snap((1500.0, 513.0), ENDS, 1.0).kind == "grid"
    assert snapper(MAIN).snap((1500.0, 511.0), ENDS, 1.0).kind == "end"


def test_the_reach_is_in_pixels() -> None:
    assert snapper(MAIN).snap((1500.0, 540.0), ENDS, 4.0).kind == "end"
    assert snapper(MAIN).snap((1500.0, 504.0), ENDS, 0.25).kind == "grid"


def test_the_side_of_a_run_pulls_to_a_round_position() -> None:
    snap = snapper(MAIN).snap((403.0, 6.0), ENDS, 1.0)
    assert snap.on == OnRun(run=PartId("R1"), position_m=0.405)
    assert place(snap) == (405.0, 0.0)
    assert snap.word == "on Main"


def test_loose_it_pulls_to_the_exact_position() -> None:
    snap = snapper(MAIN).snap((403.3, 6.0), ENDS, 1.0, loose=True)
    assert isinstance(snap.on, OnRun)
    assert snap.on.position_m == pytest.approx(0.4033)


def test_a_place_on_an_arc_is_exact() -> None:
    # Half way round the quarter turn: centre (1000, 500), 45° down right.
    x, y = 1000 + 500 * 0.70711, 500 - 500 * 0.70711
    snap = snapper(MAIN).snap((x + 3, y - 3), ENDS, 1.0, loose=True)
    # 1 m and an eighth of a circle of radius 0.5 m: 1 + 0.5 * pi / 4.
    assert isinstance(snap.on, OnRun)
    assert snap.on.position_m == pytest.approx(1.3927, abs=1e-4)
    assert snap.heading == pytest.approx(pi / 4, abs=1e-3)


def test_a_rail_joint_pulls_where_it_is_wished_for() -> None:
    wish = Wish(kinds=TRACK | {"joint"})
    snap = snapper(MAIN).snap((909.0, 2.0), wish, 1.0)
    assert snap.on == OnRun(run=PartId("R1"), position_m=0.914)
    assert snap.word == "joint of Main"
    assert snapper(MAIN).snap((890.0, 2.0), wish, 1.0).kind == "run"


def test_the_ends_and_the_side_of_a_bus_pull() -> None:
    end = snapper(BUS).snap((2005.0, -297.0), WIRES, 1.0)
    assert (end.on, end.word) == (ToBus(part=PartId("B2"), position_m=2.0), "end of B2")
    side = snapper(BUS).snap((702.0, -306.0), WIRES, 1.0)
    assert (side.on, side.word) == (ToBus(part=PartId("B2"), position_m=0.7), "on B2")


def test_the_whole_symbol_of_a_booster_pulls() -> None:
    # The symbol is 150 mm wide: 60 mm off its middle is inside.
    snap = snapper(Booster(id=PartId("PB1"), x_mm=100.0, y_mm=50.0)).snap(
        (160.0, 50.0), WIRES, 1.0
    )
    assert (snap.on, place(snap)) == (
        ToPort(part=PartId("PB1"), port="out"),
        (100.0, 50.0),
    )
    assert snap.word == "out of PB1"


def test_of_a_breaker_the_side_that_is_meant_pulls() -> None:
    engine = snapper(Inline(id=PartId("CB1"), device="breaker", x_mm=0.0, y_mm=0.0))
    out = engine.snap((5.0, 5.0), Wish(kinds=POWER), 1.0)
    into = engine.snap((5.0, 5.0), Wish(kinds=POWER, port="in"), 1.0)
    assert (out.word, into.word) == ("out of CB1", "into CB1")


def test_a_strip_offers_its_first_free_way() -> None:
    strip = Strip(id=PartId("TS1"), x_mm=0.0, y_mm=0.0, ways=3)
    taken = Drop(
        id=PartId("D1"),
        on=OnRun(run=PartId("R1"), position_m=0.5),
        to=ToStrip(part=PartId("TS1"), way=1),
    )
    snap = snapper(MAIN, strip, taken).snap((4.0, -3.0), Wish(kinds=POWER), 1.0)
    assert snap.on == ToStrip(part=PartId("TS1"), way=2)
    assert place(snap) == (0.0, 0.0)  # the middle one of three


def test_skipped_parts_do_not_pull() -> None:
    wish = Wish(kinds=POWER, skip=frozenset((PartId("B2"),)))
    assert snapper(BUS).snap((700.0, -300.0), wish, 1.0).kind == "free"


def test_a_point_wins_over_a_line_that_is_nearer() -> None:
    booster = Booster(id=PartId("PB1"), x_mm=500.0, y_mm=-245.0)  # its edge is at -295
    assert snapper(BUS, booster).snap((500.0, -300.0), WIRES, 1.0).kind == "port"


def test_round_angles_from_the_anchor_pull() -> None:
    # 6 px off the diagonal of 45°: pulled; 8 px off: not.
    wish = Wish(anchor=(0.0, 0.0), step_deg=45.0)
    off = 6.0 / 2**0.5 * 0.99
    near = snapper().snap((300 + off, 300 - off), wish, 1.0)
    assert near.kind == "angle"
    assert near.x_mm == pytest.approx(near.y_mm)
    off = 8.0 / 2**0.5
    assert snapper().snap((300 + off, 300 - off), wish, 1.0).kind == "free"


def test_squared_it_goes_along_or_across_whatever_the_pointer() -> None:
    wish = Wish(anchor=(100.0, 100.0), grid=True)
    snap = snapper().snap((400.0, 250.0), wish, 1.0, square=True)
    assert place(snap) == (400.0, 100.0)


def test_the_grid_pulls_last_and_not_at_all_when_loose() -> None:
    assert place(snapper().snap((103.0, -48.0), GRID, 1.0)) == (105.0, -50.0)
    assert place(snapper().snap((103.3, -48.2), GRID, 1.0, loose=True)) == (
        103.3,
        -48.2,
    )


def test_a_change_is_seen_after_it_was_told() -> None:
    layout = Layout()
    engine = Snapper(layout)
    assert engine.snap((1500.0, 500.0), ENDS, 1.0).kind == "grid"
    layout.apply(Change("Add", {MAIN.id: None}, {MAIN.id: MAIN}))
    engine.forget()
    assert engine.snap((1500.0, 500.0), ENDS, 1.0).kind == "end"


# At least 4 px wide: 4 mm at 1 mm/px, 0.2 at 0.05, 40 at 10; in inches 1/4
# (6.35 mm) is the first above 4 mm.
@pytest.mark.parametrize(
    ("mm_per_px", "lengths", "step"),
    [(1.0, "m", 5.0), (0.05, "m", 0.2), (10.0, "m", 50.0), (1.0, "ft", 6.35)],
)
def test_the_round_step_suits_the_zoom(
    mm_per_px: float, lengths: str, step: float
) -> None:
    assert round_step_mm(mm_per_px, "ft" if lengths == "ft" else "m") == step


def test_the_nearest_place_on_track_is_found_for_going_there() -> None:
    engine = snapper(MAIN)
    assert engine.nearest_run((400.0, 30.0), 50.0) == OnRun(
        run=PartId("R1"), position_m=0.4
    )
    assert engine.nearest_run((400.0, 60.0), 50.0) is None
