"""The drop schedule has every drop, and where its hole is."""

from typing import Literal

import pytest

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Edge, Joist, Side, Strip, TrackRun
from core.sheet.schedules.benches import benches_of
from core.sheet.schedules.drops import DropRow, drop_rows
from core.sheet.schedules.words import soldered_words
from tests.core.sheet.boards import (
    board,
    bus,
    drop,
    layout_of,
    oval,
    shelf_run,
    to_bus,
    to_strip,
)


def row_of(layout: Layout, drop_id: str = "D1") -> DropRow:
    (row,) = (r for r in drop_rows(layout) if r.drop.id == drop_id)
    return row


def test_every_drop_is_on_the_schedule_once() -> None:
    layout = oval()
    listed = sorted(row.drop.id for row in drop_rows(layout))
    assert listed == sorted(d.id for d in layout.of_kind(Drop))


@pytest.mark.parametrize(
    ("aisle", "along", "inward"),
    [
        # The hole lies 350 mm from the left and 100 mm from the front of a board of
        # 2400 by 1200 mm; along the aisle is measured from the left or front end.
        ("front", 0.35, 0.10),
        ("back", 0.35, 1.10),
        ("left", 0.10, 0.35),
        ("right", 0.10, 2.05),
    ],
)
def test_places_are_measured_from_two_board_edges(
    aisle: Edge, along: float, inward: float
) -> None:
    row = row_of(layout_of(board(aisle=aisle), shelf_run(), drop(1, 0.35)))
    assert (row.at.along, row.at.inward) == pytest.approx((along, inward))


def test_a_drop_off_all_boards_is_measured_from_the_zero_of_the_plan() -> None:
    far = board(x_mm=5000)
    row = row_of(layout_of(far, shelf_run(), drop(1, 0.35)))
    assert row.bench.board is None
    assert (row.at.along, row.at.inward) == pytest.approx((0.35, 0.10))


def test_the_smallest_board_below_a_hole_is_its_board() -> None:
    small = board(id=PartId("BD2"), width_mm=600, depth_mm=300)
    row = row_of(layout_of(board(), small, shelf_run(), drop(1, 0.35)))
    assert row.bench.board is not None
    assert row.bench.board.id == "BD2"


def test_the_order_is_board_by_board_place_by_place_near_before_far() -> None:
    # Places are 1 m wide: D3 (0.9 m along) comes with D1 and D2, before D4 (1.1 m).
    other = shelf_run(id=PartId("R2"), y_mm=600, name="Rear")
    on_rear = drop(2, 0.1)
    rear = Drop(id=PartId("D2"), on=type(on_rear.on)(run=PartId("R2"), position_m=0.1))
    layout = layout_of(
        board(), shelf_run(), other, drop(4, 1.1), rear, drop(3, 0.9), drop(1, 0.3)
    )
    assert [r.drop.id for r in drop_rows(layout)] == ["D1", "D3", "D2", "D4"]


@pytest.mark.parametrize(
    ("heading", "a_rail", "words"),
    [
        # Drawn to the right the left rail is the back one; turned round, the front.
        (0.0, "left", "A → back"),
        (0.0, "right", "A → front"),
        (180.0, "left", "A → front"),
        # Drawn away from the viewer the left rail lies to the left.
        (90.0, "left", "A → left"),
        (270.0, "left", "A → right"),
        # At 30° the normal (-0.50, 0.87) points mostly to the back; at 60° to the
        # left.
        (30.0, "left", "A → back"),
        (60.0, "left", "A → left"),
    ],
)
def test_rails_are_named_by_the_edge_they_are_nearer_to(
    heading: float, a_rail: Side, words: str
) -> None:
    run = shelf_run(x_mm=1200, y_mm=600, heading_deg=heading)
    one = drop(1, 0.3, a_rail=a_rail)
    assert soldered_words(layout_of(run, one), one) == words


@pytest.mark.parametrize(
    ("rails", "words"),
    [("left", "A → back only"), ("right", "B → front only")],
)
def test_a_drop_to_one_rail_says_so(
    rails: Literal["left", "right"], words: str
) -> None:
    one = drop(1, 0.3, a_rail="left", rails=rails)
    assert soldered_words(layout_of(shelf_run(), one), one) == words


def test_a_drop_says_where_it_ends() -> None:
    feeder = bus((0, 300), (2400, 300))
    strip = Strip(id=PartId("TS1"), x_mm=0, y_mm=400)
    layout = layout_of(
        shelf_run(),
        feeder,
        strip,
        drop(1, 0.3, to=to_strip(4)),
        drop(2, 0.5, to=to_bus(1.1)),
        drop(3, 0.7),
        drop(4, 0.9, to=to_strip(1, "TS9")),
    )
    ends = {r.drop.id: r.ends for r in drop_rows(layout)}
    assert ends == {
        "D1": "TS1 · 4",
        "D2": "B1 at 1.10 m",
        "D3": "not joined yet",
        "D4": "not joined yet",
    }


def test_the_lead_is_the_typed_one_rounded_up_to_what_a_tape_shows() -> None:
    assert row_of(layout_of(shelf_run(), drop(1, 0.3, lead_m=0.412))).lead_m == (
        pytest.approx(0.42)
    )
    # Half an inch is 12.7 mm: 412 mm is 32.4 of them, so 33.
    in_feet = layout_of(shelf_run(), drop(1, 0.3, lead_m=0.412), lengths="ft")
    assert row_of(in_feet).lead_m == pytest.approx(33 * 0.0127)


def test_a_round_lead_stays_as_it_is() -> None:
    assert row_of(layout_of(shelf_run(), drop(1, 0.3, lead_m=0.42))).lead_m == (
        pytest.approx(0.42)
    )


@pytest.mark.parametrize(
    ("position_m", "note"),
    [
        # Needs N66: hole at 1.235, joist centre 1.200, half its width 22: 13 mm clear.
        (1.235, "The hole is 13 mm from joist JS1: shift it along the track."),
        (1.200, "The hole is in joist JS1: shift it along the track."),
        # 1.200 + 22 + 15 mm is just clear enough.
        (1.237, ""),
    ],
)
def test_a_hole_too_near_a_joist_is_noted(position_m: float, note: str) -> None:
    joist = Joist(id=PartId("JS1"), x1_mm=1200, y1_mm=0, x2_mm=1200, y2_mm=1200)
    row = row_of(layout_of(board(), shelf_run(), joist, drop(1, position_m)))
    assert row.note == note


def test_a_joist_that_ends_short_of_the_track_is_no_hindrance() -> None:
    joist = Joist(id=PartId("JS1"), x1_mm=1200, y1_mm=300, x2_mm=1200, y2_mm=1200)
    assert row_of(layout_of(shelf_run(), joist, drop(1, 1.2))).note == ""


def test_a_wrong_far_label_and_a_turned_strip_are_noted() -> None:
    strip = Strip(id=PartId("TS1"), x_mm=0, y_mm=400, flipped=True)
    one = drop(9, 0.3, to=to_strip(4), far_label="D6", note="Behind the fascia.")
    row = row_of(layout_of(shelf_run(), strip, one), "D9")
    assert row.note == (
        "Its far label reads “D6”: put it right. TS1 is drawn turned: A wires hang on "
        "its B bar. Behind the fascia."
    )


def test_a_layout_without_boards_is_measured_as_a_whole() -> None:
    (bench,) = benches_of(layout_of(shelf_run()))
    assert bench.title == "whole layout"
    # The run lies at x 0 to 2400, y 100: whole tenths of a metre with a rim.
    assert bench.region == (-100.0, 0.0, 2500.0, 200.0)


def test_a_run_without_a_name_goes_by_its_id() -> None:
    run: TrackRun = shelf_run(name="")
    assert row_of(layout_of(run, drop(1, 0.3))).track == "R1"


def test_a_drop_up_a_climb_says_how_far_it_stands_above_the_foot() -> None:
    # 240 mm over 2.40 m: 1.80 m along it is 180 mm up.
    layout = layout_of(shelf_run(level_end_mm=240.0), drop(1, 0.0), drop(2, 1.8))
    assert row_of(layout).note == ""
    assert row_of(layout, "D2").note == (
        "180 mm above the foot of Main: add that where the bus lies at the foot."
    )
