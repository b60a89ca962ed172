"""The bus and strip schedules, with their taps in order."""

import pytest

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, Strip, ToStrip
from core.sheet.pages.wiring import number_ranges
from core.sheet.schedules.power import bus_rows, strip_maps
from tests.core.sheet.boards import (
    board,
    bus,
    drop,
    layout_of,
    shelf_run,
    to_bus,
    to_strip,
)


def test_a_bus_is_as_long_as_its_path_and_slack() -> None:
    # Needs N02: (0,0)-(3.0,0)-(3.0,3.6) is 6.60 m; 5 % slack makes 6.93 m.
    feeder = bus((0, 0), (3000, 0), (3000, 3600), slack=0.05)
    (row,) = bus_rows(layout_of(feeder))
    assert row.path_m == pytest.approx(6.60)
    assert row.length_m == pytest.approx(6.93)


def test_taps_stand_in_order_from_the_start() -> None:
    other = bus((500, 0), (500, 900), name="B2", start=to_bus(0.5))
    breaker = Inline(
        id=PartId("CB1"), device="breaker", x_mm=900, y_mm=0, feed=to_bus(0.9)
    )
    layout = layout_of(
        shelf_run(),
        bus((0, 0), (1000, 0), (1000, 1000)),
        other,
        breaker,
        drop(1, 0.3, to=to_bus(1.4)),
        drop(2, 0.3, to=to_bus(0.2)),
    )
    row = bus_rows(layout)[0]
    assert [(tap.kind, round(tap.position_m, 3)) for tap in row.taps] == [
        ("start", 0.0),
        ("drop", 0.2),
        ("bus", 0.5),
        ("device", 0.9),
        ("bend", 1.0),
        ("drop", 1.4),
        ("end", 2.0),
    ]
    steps = [round(tap.step_m, 3) for tap in row.taps]
    assert steps == [0.0, 0.2, 0.3, 0.4, 0.1, 0.4, 0.6]


def test_taps_say_what_is_there() -> None:
    layout = layout_of(
        shelf_run(),
        bus((0, 0), (1000, 0), start_flipped=True, start=to_strip(2)),
        Strip(id=PartId("TS1"), x_mm=0, y_mm=0),
        drop(1, 0.3, to=to_bus(0.4)),
    )
    row = bus_rows(layout)[0]
    assert [tap.what for tap in row.taps] == [
        "TS1 · 2, crossed: A to B",
        "D1, drop to Main",
        "a free end",
    ]


def test_a_bend_is_measured_from_the_board_edges() -> None:
    layout = layout_of(board(aisle="back"), bus((300, 200), (1000, 200), (1000, 900)))
    bend = bus_rows(layout)[0].taps[1]
    # 1200 - 200 mm from the back edge, where the aisle is.
    assert bend.what == "BD1: 1.00 m from left, 1.00 m from aisle"


def strip_layout(ways: int = 12) -> Layout:
    strip = Strip(id=PartId("TS4"), x_mm=500, y_mm=300, ways=ways)
    feeds = (
        bus((0, 0), (500, 0), end=to_strip(1, "TS4")),
        bus((500, 0), (900, 0), name="B2", start=to_strip(2, "TS4")),
    )
    drops = (drop(11 + n, 0.1 * n, to=to_strip(n + 1, "TS4")) for n in range(2, 10))
    return layout_of(shelf_run(), strip, *feeds, *drops)


def test_a_strip_map_says_what_is_under_each_screw() -> None:
    # Needs N62: 12 ways, bus in at 1 and 2, D13 at 3 ... free: 11, 12.
    (strip_map,) = strip_maps(strip_layout())
    assert strip_map.ways[0].lands == ("bus B1, its end",)
    assert strip_map.ways[1].lands == ("bus B2, its start",)
    assert strip_map.ways[2].lands == ("D13, Main",)
    assert strip_map.free == (11, 12)


def test_what_hangs_beyond_the_last_way_is_still_shown() -> None:
    (strip_map,) = strip_maps(strip_layout(ways=8))
    assert [way.number for way in strip_map.ways] == list(range(1, 11))


def test_two_wires_under_one_screw_are_both_shown() -> None:
    layout = layout_of(
        shelf_run(),
        Strip(id=PartId("TS1"), x_mm=0, y_mm=0, flipped=True),
        drop(1, 0.1, to=to_strip(3)),
        drop(2, 0.2, to=to_strip(3)),
    )
    (strip_map,) = strip_maps(layout)
    assert strip_map.ways[2].lands == (
        "D1, Main (crossed: A under B)",
        "D2, Main (crossed: A under B)",
    )


def test_a_device_fed_from_a_strip_is_on_its_map() -> None:
    layout = layout_of(
        Strip(id=PartId("TS1"), x_mm=0, y_mm=0),
        Inline(
            id=PartId("CB2"),
            device="breaker",
            x_mm=0,
            y_mm=0,
            feed=ToStrip(part=PartId("TS1"), way=5),
            feed_flipped=True,
        ),
    )
    (strip_map,) = strip_maps(layout)
    assert strip_map.ways[4].lands == ("CB2 in, breaker (crossed: A under B)",)


@pytest.mark.parametrize(
    ("numbers", "words"),
    [((), ""), ((2,), "2"), ((2, 3), "2, 3"), ((2, 5, 6, 7, 11), "2, 5–7, 11")],
)
def test_free_ways_are_said_in_short(numbers: tuple[int, ...], words: str) -> None:
    assert number_ranges(numbers) == words
