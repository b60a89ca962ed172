"""The coin test has a row for each length of rail, and says what must trip."""

from typing import Any

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Drop,
    Gap,
    Inline,
    OnRun,
    Straight,
    ToPort,
    TrackRun,
)
from core.sheet.marks import Line
from core.sheet.pages.proving.coins import coin_leaves
from core.sheet.schedules.proving.coins import (
    CLEAR_M,
    CoinRow,
    coin_rows,
    stretches,
)
from tests.core.sheet.boards import (
    board,
    brief_of,
    drop,
    layout_of,
    oval,
    shelf_run,
    texts,
)
from tests.samples.wulfenmoor import wulfenmoor_end_fed

BOOSTER = Booster(id=PartId("PB1"), x_mm=0, y_mm=-300, trip_a=5.0, trip_s=0.1)
BREAKER = Inline(
    id=PartId("CB1"),
    device="breaker",
    x_mm=0,
    y_mm=-200,
    trip_a=3.0,
    trip_s=0.016,
    feed=ToPort(part=PartId("PB1")),
)


def gap(position_m: float) -> Gap:
    return Gap(id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=position_m))


def shelf(supply: Booster = BOOSTER, **run: Any) -> Layout:
    """Return 2.40 m of rail in three lengths, fed at its start through a breaker."""
    feed = drop(1, 0.1, to=ToPort(part=BREAKER.id), lead_m=0.5)
    return layout_of(board(), shelf_run(**run), supply, BREAKER, feed)


def rows_of(layout: Layout) -> tuple[CoinRow, ...]:
    return coin_rows(study_layout(layout))


def test_each_length_between_joints_has_a_row() -> None:
    # 2.40 m in pieces of 0.914 m: joints at 0.914 and 1.828 m, three lengths.
    rows = rows_of(shelf())
    where = [row.spot.on.position_m for row in rows]
    assert len(rows) == 3
    assert where[0] < 0.914 < where[1] < 1.828 < where[2]


def test_a_coin_lies_clear_of_joints() -> None:
    for row in rows_of(shelf()):
        for joint in (0.914, 1.828):
            assert abs(row.spot.on.position_m - joint) >= CLEAR_M - 1e-9


@pytest.mark.parametrize(
    ("length_mm", "count"), [(3000.0, 1), (3001.0, 2), (9500.0, 4)]
)
def test_no_length_is_over_three_metres(length_mm: float, count: int) -> None:
    # Needs N75: every rail length, 3 m or less.
    run = shelf_run(pieces=(Straight(length_mm=length_mm),), piece_length_m=50.0)
    assert len(stretches(layout_of(run), run)) == count


def test_a_gap_parts_a_length_too() -> None:
    run = shelf_run()
    found = stretches(layout_of(run, gap(1.2)), run)
    assert [end for _, end in found] == pytest.approx([0.914, 1.2, 1.828, 2.4])


def test_figures_are_those_that_a_probe_finds_there() -> None:
    study = study_layout(shelf())
    for row in coin_rows(study):
        probe = probe_place(study, row.spot.on)
        assert row.margin == pytest.approx(probe.margin)
        # The breaker averages; the weaker of ones and zeros counts.
        assert probe.short_mean_ones_a is not None
        assert probe.short_mean_zeros_a is not None
        mean = min(probe.short_mean_ones_a, probe.short_mean_zeros_a)
        assert row.sensed_a == pytest.approx(mean)


def test_each_place_is_the_weakest_of_its_length() -> None:
    study = study_layout(shelf())
    run = study.layout.need(PartId("R1"), TrackRun)
    for (start, end), row in zip(
        stretches(study.layout, run), coin_rows(study), strict=True
    ):
        for i in range(21):
            at = start + CLEAR_M + i / 20 * (end - start - 2 * CLEAR_M)
            other = probe_place(study, OnRun(run=run.id, position_m=at))
            assert other.margin is not None
            assert other.margin >= row.margin - 1e-9


@pytest.mark.parametrize(("booster_s", "first"), [(0.1, "CB1"), (0.010, "PB1")])
def test_the_device_that_is_first_is_named_with_its_time(
    booster_s: float, first: str
) -> None:
    # Needs N27: 16 ms under 100 ms; a booster of 10 ms wins.
    for row in rows_of(shelf(replace(BOOSTER, trip_s=booster_s))):
        assert row.device is not None
        assert row.device.part == first
        assert row.device.trip_s == min(booster_s, 0.016)
        assert row.trips


def test_a_booster_that_holds_its_current_down_trips_nothing() -> None:
    # 2 A never trip 3 A: two thirds.
    (row, *_) = rows_of(shelf(replace(BOOSTER, limit_a=2.0)))
    assert not row.trips
    assert row.sensed_a == pytest.approx(2.0)
    assert row.margin == pytest.approx(2.0 / 3.0)


def test_the_weakest_ten_are_numbered_from_the_weakest() -> None:
    rows = rows_of(shelf(pieces=(Straight(length_mm=12000),)))
    # Fed at its start, so the further the weaker: 14 lengths, the last ten.
    assert [row.rank for row in rows] == [0, 0, 0, 0, *range(10, 0, -1)]


def test_unfed_track_and_shorted_boosters_have_no_rows() -> None:
    lone = shelf_run(id=PartId("R9"), y_mm=700)
    fed = Layout({**shelf().parts, lone.id: lone})
    assert {row.spot.on.run for row in rows_of(fed)} == {"R1"}
    crossed = drop(2, 1.0, to=ToPort(part=BREAKER.id), a_rail="right")
    assert rows_of(Layout({**shelf().parts, crossed.id: crossed})) == ()
    assert rows_of(Layout()) == ()


# The page -------------------------------------------------------------------------


def said(layout: Layout) -> list[str]:
    return [t for leaf in coin_leaves(brief_of(layout)) for t in texts(leaf.marks)]


def test_a_row_says_place_current_device_time_and_has_two_boxes() -> None:
    layout = shelf()
    row = rows_of(layout)[0]
    (leaf,) = coin_leaves(brief_of(layout))
    words = texts(leaf.marks)
    start = words.index("Main")
    at = f"{row.spot.on.position_m * 1000:.0f} mm"
    assert words[start + 1 : start + 4] == [at, at, "100 mm"]
    assert words[start + 5 : start + 7] == ["CB1 at 3.00 A", "16 ms"]
    assert words[start + 8] == "No. 3"
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    assert len(boxes) == 2 * 3


def test_where_inductance_holds_the_coin_down_both_figures_are_told() -> None:
    # needs.md 3.6: 17.8 A by resistance alone, about 3.5 A as an 8 A booster senses.
    layout = Layout({part.id: part for part in wulfenmoor_end_fed()})
    row = min(rows_of(layout), key=lambda r: r.margin)
    assert row.plain_a == pytest.approx(17.8, rel=0.10)
    assert row.sensed_a < 4.0
    words = " ".join(said(layout))
    told = f"Inductance holds it down: by resistance alone {row.plain_a:.1f} A."
    assert told in words
    assert all(r.plain_a is None for r in rows_of(shelf()))
    assert "Inductance" not in " ".join(said(shelf()))


def test_boards_follow_each_other_and_are_named() -> None:
    other = board(id=PartId("BD2"), name="Annexe", x_mm=2400)
    run = shelf_run(pieces=(Straight(length_mm=4800),))
    feed = drop(1, 0.1, to=ToPort(part=BOOSTER.id))
    words = said(layout_of(board(), other, run, BOOSTER, feed))
    assert words.index("BD1") < words.index("BD2 Annexe")
    assert words.count("pass") == 1


def test_where_nothing_trips_nobody_is_sent_with_a_coin() -> None:
    words = said(shelf(replace(BOOSTER, limit_a=2.0)))
    assert "not CB1 at 3.00 A" in words
    assert any(t.startswith("Not expected to trip") for t in words)


def test_little_to_spare_is_said() -> None:
    # 4 A into a trip of 3 A is 1.33, under the 1.5 of the limits.
    words = said(shelf(replace(BOOSTER, limit_a=4.0)))
    assert "1.33 ×" in words
    assert any(t.startswith("Little to spare") for t in words)


def test_tracks_without_rows_are_named() -> None:
    lone = shelf_run(id=PartId("R9"), name="Museum siding", y_mm=700)
    words = " ".join(said(Layout({**shelf().parts, lone.id: lone})))
    assert "no booster reaches it: part of Museum siding" in words


def test_the_tracks_of_a_shorted_booster_are_left_out_and_it_is_named() -> None:
    crossed = drop(2, 1.0, to=ToPort(part=BREAKER.id), a_rail="right")
    branch = shelf_run(id=PartId("R9"), name="Branch", y_mm=700)
    second = replace(BOOSTER, id=PartId("PB2"))
    on = OnRun(run=branch.id, position_m=0.1)
    feed = drop(3, 0.1, on=on, to=ToPort(part=second.id), lead_m=0.5)
    parts = {p.id: p for p in (crossed, branch, second, feed)}
    layout = Layout({**shelf().parts, **parts})
    assert {row.spot.track for row in rows_of(layout)} == {"Branch"}
    words = " ".join(said(layout))
    assert "the tracks of PB1, shorted" in words
    assert "no booster reaches it" not in words


def test_a_layout_with_nothing_fed_has_no_page() -> None:
    assert coin_leaves(brief_of(layout_of(board(), shelf_run()))) == ()


def test_a_crossed_drop_leaves_no_figures_to_print() -> None:
    layout = oval()
    wrong = layout.need(PartId("D4"), Drop)
    turned = replace(wrong, a_rail="left")
    assert coin_leaves(brief_of(Layout({**layout.parts, wrong.id: turned}))) == ()


# Lamps ------------------------------------------------------------------------


def lit(trip_s: float) -> Layout:
    """Return the shelf behind a lamp of 12.8 V and 2.1 A in the breaker's place."""
    lamp = replace(BREAKER, device="lamp", trip_a=None)
    parts = {**shelf(replace(BOOSTER, trip_s=trip_s)).parts, lamp.id: lamp}
    return Layout(parts)


def test_behind_a_lamp_a_coin_lights_it_and_trips_nothing() -> None:
    rows = coin_rows(study_layout(lit(0.5)))
    assert rows
    assert {row.trips for row in rows} == {False}
    # needs.md N33: held near 2.2 A.
    assert all(row.sensed_a == pytest.approx(2.2, rel=0.10) for row in rows)
    assert {row.rank for row in rows} == {0}
    words = " ".join(said(lit(0.5)))
    assert "CB1 lights" in words
    assert "Take the coin off at once" in words
    assert "mend the plan" not in words


def test_a_booster_faster_than_the_lamp_is_expected_to_trip() -> None:
    rows = coin_rows(study_layout(lit(0.1)))
    assert {row.device.part for row in rows if row.device} == {"PB1"}
    assert {row.trips for row in rows} == {True}


# Bands ------------------------------------------------------------------------------


def test_the_weakest_have_the_band_of_their_margin() -> None:
    # A lone path of 12 A or so: as rail, joints and wire vary the loop moves by some
    # hundredths, and what the breaker senses of it the other way.
    rows = coin_rows(study_layout(shelf()))
    assert {row.rank > 0 for row in rows if row.band is not None} == {True}
    for row in rows:
        assert row.band is not None
        low, high = row.band
        assert low < row.margin < high
    said = " ".join(
        t for leaf in coin_leaves(brief_of(shelf())) for t in texts(leaf.marks)
    )
    assert "As rail, joints and wire vary" in said
