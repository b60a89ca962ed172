"""The connections that a layout hangs on, as printed.

Worked by hand: a shelf of 2.40 m in one piece, its drops straight to the booster.
"""

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, OnRun, ToPort
from core.sheet.brief import Brief, Pace, Stopped
from core.sheet.pages.proving.weak_links import weak_link_leaves
from tests.core.sheet.boards import brief_of, drop, layout_of, shelf_run, texts

BOOSTER = Booster(id=PartId("PB1"), x_mm=0, y_mm=-300)
FEED = ToPort(part=PartId("PB1"))


def shelf(*places_m: float, rail: str = "code100-ns") -> Layout:
    drops = [drop(i, at, to=FEED, lead_m=0.5) for i, at in enumerate(places_m, start=1)]
    return layout_of(BOOSTER, shelf_run(piece_length_m=3.0, rail=rail), *drops)


def words(layout: Layout) -> str:
    (leaf,) = weak_link_leaves(brief_of(layout))
    return " ".join(texts(leaf.marks))


def test_the_only_drop_takes_all_track_with_it() -> None:
    told = words(shelf(1.2))
    assert "D1" in told
    assert "2.40 m of track dead" in told
    assert "Of 1 drops and joints 0 may open unnoticed." in told


def test_what_hangs_on_a_shorted_booster_is_left_out_and_that_is_said() -> None:
    second = replace(BOOSTER, id=PartId("PB2"))
    on = OnRun(run=PartId("R2"), position_m=1.2)
    crossed = drop(2, 2.0, to=FEED, lead_m=0.5, a_rail="right")
    alone = drop(3, 1.2, on=on, to=ToPort(part=second.id), lead_m=0.5)
    more = shelf_run(id=PartId("R2"), y_mm=400, piece_length_m=3.0)
    parts = (*shelf(0.4).parts.values(), second, more, crossed, alone)
    told = words(layout_of(*parts))
    assert "PB1 is shorted: its track is left out." in told
    assert "Of 1 drops and joints 0 may open unnoticed." in told
    assert "D3" in told
    assert "D1" not in told


def test_each_of_several_drops_may_open() -> None:
    # Worst: D5 open on one rail, 1 A at 2.40 m. That rail is fed from D4 on (0.80 m
    # of 0.076 Ω/m: 61 mV), the other from D5 (0.40 m: 30 mV); the booster's 0.05 Ω
    # takes 50 mV; two leads of 0.5 m of 0.5 mm², 18 mΩ each, carry 1 A at most
    # between them: 0 to 36 mV. So 14.823 to 14.859 V.
    told = words(shelf(0.4, 0.8, 1.2, 1.6, 2.0))
    assert "no track goes dead" in told
    volts = float(told.split("are still ")[1].split(" V")[0])
    assert 14.82 <= volts <= 14.86


def test_of_two_drops_each_is_named_with_the_volts_that_are_left() -> None:
    # Code 55, 0.300 Ω/m. Whole: worst in the middle, 1 A over two rails, each 1.2 m
    # from either end: 0.36 V. D1 open on one side: worst at 0 m, 2.40 m of that rail:
    # 0.72 V. That is 0.36 V more, over the 1 % of 15 V that count.
    told = words(shelf(0.0, 2.4, rail="code55-ns"))
    assert "D1" in told
    assert "D2" in told
    assert "dead" not in told
    assert "Of 2 drops and joints 0 may open unnoticed." in told


def test_nothing_to_open_gives_no_page() -> None:
    assert weak_link_leaves(brief_of(layout_of(BOOSTER, shelf_run()))) == ()


def test_it_stops_where_it_is_asked_to() -> None:
    brief = brief_of(shelf(1.2))
    stopped = Brief(
        brief.study, (), brief.options, brief.typeface, Pace(lambda *_: False)
    )
    with pytest.raises(Stopped):
        weak_link_leaves(stopped)
