"""Volts to expect under a resistor: at drops, far ends, with band and meter factor."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Drop,
    Inline,
    Load,
    OnRun,
    Part,
    ToPort,
)
from core.sheet.marks import Line
from core.sheet.pages.proving.readings import reading_leaves
from core.sheet.schedules.proving.readings import (
    ReadingRow,
    Resistor,
    choose_load,
    reading_rows,
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

BOOSTER = Booster(id=PartId("PB1"), name="Shelf", x_mm=0, y_mm=-300)
LOAD = Resistor(15.0, 15.0)


def shelf(*more: Part, supply: Booster = BOOSTER) -> Layout:
    """Return 2.40 m of rail in one piece, fed 0.10 m from its start by D1."""
    feed = drop(1, 0.1, to=ToPort(part=supply.id), lead_m=0.5)
    return layout_of(board(), shelf_run(piece_length_m=50.0), supply, feed, *more)


def rows_of(layout: Layout) -> tuple[ReadingRow, ...]:
    return reading_rows(study_layout(layout), LOAD)


def train(amps: float, use: str = "train") -> Load:
    place = OnRun(run=PartId("R1"), position_m=2.4)
    return Load(id=PartId("L1"), on=place, amps_a=amps, use=use)  # type: ignore[arg-type]


# The load ---------------------------------------------------------------------------


def test_n76_the_usual_load_is_15_ohms_and_30_watts() -> None:
    # Needs N76: 15 Ω, 30 W: 1 A. N78: at 15 V it gets 15 V² / 15 Ω = 15 W.
    load = choose_load(layout_of(BOOSTER))
    assert (load.ohm, load.amps_a, load.heat_w, load.rating_w) == (15, 1, 15, 30)


def test_a_small_breaker_gets_a_smaller_load() -> None:
    # Half of 1 A at 15 V wants 30 Ω: of the row, 33 Ω.
    fuse = Inline(
        id=PartId("F1"), device="fuse", x_mm=0, y_mm=0, rated_a=1.0, trip_a=1.5
    )
    assert choose_load(layout_of(BOOSTER, fuse)).ohm == 33.0


def test_a_load_can_be_wished_for() -> None:
    assert choose_load(layout_of(BOOSTER), 10.0).ohm == 10.0


# What is expected -------------------------------------------------------------------


def test_the_drop_and_the_far_end_are_measured() -> None:
    rows = rows_of(shelf())
    assert [(r.drop, r.spot.on.position_m) for r in rows] == [("D1", 0.1), (None, 2.4)]


def test_volts_are_what_the_resistor_leaves_of_15() -> None:
    # Booster 0.05 Ω; two leads of 0.5 m at 39 mΩ/m (IEC 60228 class 5), each with a
    # screw of 2 mΩ and a soldered end of 0.5 mΩ: 0.044 Ω; two rails of 2.3 m at
    # 76 mΩ/m: 0.3496 Ω. At the drop 15·15/(15 + 0.094), at the end 15·15/15.4436.
    at_drop, far = rows_of(shelf())
    assert at_drop.volts_v == pytest.approx(14.9066, abs=1e-3)
    assert far.volts_v == pytest.approx(14.5691, abs=1e-3)


def test_the_band_is_that_of_rail_wire_and_contacts() -> None:
    # Low and high of the tables: rail 57 and 92 mΩ/m, leads 34.48 and 40.1, screws 1
    # and 3 of 2 mΩ. Loop 0.05 + 0.2622 + 0.0345 + 0.0025 = 0.3492 and
    # 0.05 + 0.4232 + 0.0401 + 0.0075 = 0.5208 Ω: 15·15/15.3492 and 15·15/15.5208.
    far = rows_of(shelf())[-1]
    assert far.high_v == pytest.approx(14.659, abs=5e-3)
    assert far.low_v == pytest.approx(14.497, abs=5e-3)


def test_trains_are_off_the_track_and_lamps_stay() -> None:
    bare = rows_of(shelf())[-1].volts_v
    assert rows_of(shelf(train(2.0)))[-1].volts_v == pytest.approx(bare)
    # A lamp of 1 A at the end lowers what stands there by 0.4436 V before the
    # resistor comes: (15 − 0.4436)·15/15.4436.
    lit = rows_of(shelf(train(1.0, "standing")))[-1].volts_v
    assert lit == pytest.approx(14.1382, abs=1e-3)


def test_a_farthest_place_at_a_drop_is_not_listed_twice() -> None:
    # Fed from both ends the middle is farthest; one more drop there, and a quarter is.
    ends = (drop(2, 2.3, to=ToPort(part=BOOSTER.id), lead_m=0.5),)
    rows = rows_of(shelf(*ends))
    assert [r.drop for r in rows] == ["D1", None, "D2"]
    near = drop(3, rows[1].spot.on.position_m + 0.03)
    assert [r.drop for r in rows_of(shelf(*ends, near))] == ["D1", "D3", "D2"]


def test_what_is_not_fed_or_shorted_is_not_measured() -> None:
    lone = shelf_run(id=PartId("R9"), y_mm=700)
    on_lone = Drop(id=PartId("D9"), on=OnRun(run=lone.id, position_m=1.0))
    assert {r.spot.on.run for r in rows_of(shelf(lone, on_lone))} == {"R1"}
    crossed = drop(2, 2.0, to=ToPort(part=BOOSTER.id), a_rail="right")
    assert rows_of(shelf(crossed)) == ()
    assert rows_of(Layout()) == ()


# The page ---------------------------------------------------------------------------


def test_the_page_begins_with_load_heat_and_factor() -> None:
    (leaf,) = reading_leaves(brief_of(shelf()))
    words = " ".join(texts(leaf.marks))
    assert words.startswith(
        "Load: one resistor of 15 Ω, 30 W or more. At 15.00 V it draws 1.00 A"
    )
    assert words.index("HOT: 15 W") < words.index("Meter factor") < words.index("D1")
    # Needs N77: an averaging meter reads a square wave 11 % high.
    assert "by 11 %" in words
    assert "PB1 (Shelf) 15.00 V" in words


def test_each_place_has_three_boxes_to_write_in() -> None:
    (leaf,) = reading_leaves(brief_of(shelf()))
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    # Two for the one supply, three for each of two places.
    assert len(boxes) == 2 + 3 * 2
    assert "14.57 V" in texts(leaf.marks)


def test_the_wished_for_load_is_printed() -> None:
    leaves = reading_leaves(brief_of(shelf(), load_ohm=10.0))
    # 15² / 10 = 22.5 W, bought for 45 W.
    assert any("10 Ω, 45 W" in t for t in texts(leaves[0].marks))


def test_every_drop_of_an_oval_is_listed_once() -> None:
    layout = oval()
    said = [t for leaf in reading_leaves(brief_of(layout)) for t in texts(leaf.marks)]
    for one in layout.of_kind(Drop):
        assert said.count(one.id) == 1


def test_a_layout_with_nothing_fed_has_no_page() -> None:
    assert reading_leaves(brief_of(layout_of(board(), shelf_run()))) == ()
    wrong = replace(oval().need(PartId("D4"), Drop), a_rail="left")
    shorted = Layout({**oval().parts, wrong.id: wrong})
    assert reading_leaves(brief_of(shorted)) == ()


def test_a_load_of_constant_watts_answers_the_resistor() -> None:
    # One path of R to both: (V − u)/R = P/u + u/15 Ω, the upper root of
    # (1 + R/15)·u² − V·u + R·P = 0. R is that of the loop where nothing else draws.
    lamp = replace(train(0.0, "standing"), watts_w=20.0)
    study = study_layout(shelf(lamp, supply=replace(BOOSTER, inner_ohm=1.0)))
    ohm = study.scan.loop1[-1]
    a, b, c = 1.0 + ohm / LOAD.ohm, -15.0, ohm * 20.0
    root = (-b + (b * b - 4.0 * a * c) ** 0.5) / (2.0 * a)
    last = reading_rows(study, LOAD)[-1]
    assert last.volts_v == pytest.approx(root, rel=1e-6)
    assert last.low_v < root < last.high_v
