"""The cut list adds up what has to be bought."""

import pytest

from core.layout.parts import Conductor, Drop
from core.sheet.pages.cuts import raised_words, reel_words
from core.sheet.schedules.cuts import cut_rows
from core.sheet.schedules.lengths import REELS_M, cut_length, reels_for
from tests.core.sheet.boards import bus, drop, layout_of, shelf_run


def many_drops(count: int, lead_m: float) -> tuple[Drop, ...]:
    return tuple(drop(n + 1, 0.05 * n, lead_m=lead_m) for n in range(count))


def test_the_cut_list_adds_up_by_colour_with_spare() -> None:
    # Needs N64: 36 × 0.42 m = 15.12 m of each colour; with 10 % 16.63 m: a 25 m reel.
    rows = cut_rows(layout_of(shelf_run(), *many_drops(36, 0.42)))
    assert [row.letter for row in rows] == ["A", "B"]
    assert [row.colour for row in rows] == ["red", "black"]
    for row in rows:
        assert [(cut.count, cut.length_m) for cut in row.cuts] == [(36, 0.42)]
        assert row.total_m == pytest.approx(15.12)
        assert row.with_spare_m == pytest.approx(16.632)
        assert reel_words("m", row) == "one 25 m reel"


def test_a_bus_needs_its_length_of_each_colour() -> None:
    # Needs N02: 6.93 m of each; 13.86 m of single wire in all.
    feeder = bus((0, 0), (3000, 0), (3000, 3600), slack=0.05)
    rows = cut_rows(layout_of(feeder))
    assert [row.total_m for row in rows] == pytest.approx([6.93, 6.93])


def test_a_drop_to_one_rail_needs_one_colour() -> None:
    layout = layout_of(shelf_run(), drop(1, 0.3, a_rail="left", rails="right"))
    assert [row.letter for row in cut_rows(layout)] == ["B"]


def test_thin_wire_comes_first_and_sizes_are_kept_apart() -> None:
    layout = layout_of(
        shelf_run(),
        bus((0, 0), (1000, 0), wire="2.5mm2-c5"),
        drop(1, 0.3, wire="0.5mm2-c5", lead_m=0.5),
        drop(2, 0.4, wire="0.5mm2-c5", lead_m=0.4),
    )
    rows = cut_rows(layout)
    found = [(row.letter, [cut.use for cut in row.cuts]) for row in rows]
    assert found == [
        ("A", ["drops", "drops"]),
        ("B", ["drops", "drops"]),
        ("A", ["bus B1"]),
        ("B", ["bus B1"]),
    ]


def test_short_names_of_conductors_are_their_letters() -> None:
    layout = layout_of(
        shelf_run(),
        drop(1, 0.3),
        conductor_a=Conductor(name="N", colour="white"),
        conductor_b=Conductor(name="S", colour="yellow"),
    )
    assert [row.letter for row in cut_rows(layout)] == ["N", "S"]


def test_long_names_of_conductors_leave_the_letters_a_and_b() -> None:
    layout = layout_of(
        shelf_run(),
        drop(1, 0.3),
        conductor_a=Conductor(name="North rail", colour="white"),
        conductor_b=Conductor(name="South rail", colour="yellow"),
    )
    assert [row.letter for row in cut_rows(layout)] == ["A", "B"]


@pytest.mark.parametrize(
    ("length", "reels"),
    [
        (0.0, ()),
        (4.9, ((1, 5.0),)),
        (5.0, ((1, 5.0),)),
        (16.6, ((1, 25.0),)),
        (100.0, ((1, 100.0),)),
        # 230 m: two full reels and 30 m, for which 50 m is the next size.
        (230.0, ((2, 100.0), (1, 50.0))),
        # 160 m: one full reel and 60 m, for which only 100 m is long enough.
        (160.0, ((2, 100.0),)),
    ],
)
def test_reels_are_the_fewest_that_hold_it(
    length: float, reels: tuple[tuple[int, float], ...]
) -> None:
    assert reels_for(length, REELS_M["m"]) == reels


def test_reels_of_feet_are_said_in_feet() -> None:
    # 100 drops of 1.50 m, each cut to 119 half inches (1.511 m), are 151 m of each
    # colour; with 10 % 166 m = 545 ft.
    layout = layout_of(
        shelf_run(pieces=shelf_run().pieces * 3), *many_drops(100, 1.5), lengths="ft"
    )
    assert reel_words("ft", cut_rows(layout)[0]) == "1 × 500 ft + 1 × 50 ft"


def test_a_length_is_never_cut_short() -> None:
    assert cut_length(0.4201, "m") == pytest.approx(0.43)
    assert cut_length(0.42, "m") == pytest.approx(0.42)


def test_the_cut_list_names_the_drops_up_a_climb() -> None:
    # 240 mm over 2.40 m: 60 mm and 180 mm up; D4's length is typed, D1 is at the foot.
    drops = drop(1, 0.0), drop(2, 0.6), drop(3, 1.8), drop(4, 2.0, lead_m=0.9)
    red, black = cut_rows(layout_of(shelf_run(level_end_mm=240.0), *drops))
    assert red.raised == black.raised == ("D2", "D3")
    assert red.raised_m == pytest.approx(0.18)
    words = raised_words("m", red)
    assert words.startswith("D2 and D3 stand up to 180 mm above the foot")
    (flat, _) = cut_rows(layout_of(shelf_run(level_mm=90.0), *drops))
    assert raised_words("m", flat) == ""


def test_only_drops_with_a_wire_of_that_colour_are_named() -> None:
    single = drop(2, 0.6, a_rail="left", rails="right")
    red, black = cut_rows(
        layout_of(shelf_run(level_end_mm=240.0), drop(1, 0.0), single)
    )
    assert (red.raised, black.raised) == ((), ("D2",))
