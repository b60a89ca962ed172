"""W103: conductor A meets conductor B."""

from core.checks.finding import Severity
from core.checks.rules.poles_meet import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Gap, Point, Side, Strip, ToStrip
from tests.core.checks.plank import drop, find, find_one, mended, on, plank, to_bus


def test_fires_and_names_the_one_crossed_drop() -> None:
    layout = plank(drop("D3", 1.6, 1.6), changes={"D2": {"a_rail": "right"}})
    found = find_one(RULE, layout)
    assert "D2 (drop on Main) is wired the wrong way round" in found.sentence
    assert found.parts[0] == "D2"
    assert found.place == on(1.4)
    assert "R1" in found.parts
    assert found.severity is Severity.FAULT


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = plank(drop("D3", 1.6, 1.6), changes={"D2": {"a_rail": "right"}})
    found = find_one(RULE, layout)
    assert find(RULE, mended(layout, found)) == []


def test_fires_without_a_fix_where_either_of_two_drops_may_be_crossed() -> None:
    # Two drops, one crossed: turning either mends it, nobody can tell which.
    found = find_one(RULE, plank(changes={"D2": {"a_rail": "right"}}))
    assert {"D1", "D2"} <= set(found.parts)
    assert "one of D1" in found.sentence
    assert found.fix is None


def test_fires_without_a_name_where_two_pairs_are_crossed() -> None:
    crossed = {"D2": {"a_rail": "right"}, "D3": {"a_rail": "right"}}
    more = (drop("D3", 1.5, 1.5), drop("D4", 1.6, 1.6), drop("D5", 1.7, 1.7))
    found = find_one(RULE, plank(*more, changes=crossed))
    assert "no one crossed pair explains it" in found.sentence
    assert found.fix is None


def test_fires_and_names_a_strip_turned_as_a_block() -> None:
    # Three drops crossed alike on one strip: turning B2 or TS1 mends it.
    found = find_one(RULE, _with_strip(flipped=True))
    assert "TS1" in found.sentence
    assert set(found.parts[:2]) == {"B2", "TS1"}


def test_fires_as_a_hazard_where_the_booster_does_not_trip() -> None:
    # 15 V behind 10 Ω give 1.5 A at most: a 3 A trip never comes.
    changes = {"D2": {"a_rail": "right"}, "PB1": {"inner_ohm": 10.0}}
    found = find_one(RULE, plank(changes=changes))
    assert found.severity is Severity.HAZARD
    assert found.figures.startswith("15.00 V drives 1.4")


def test_quiet_where_a_gap_parts_the_crossed_drop() -> None:
    gap = Gap(id=PartId("G1"), on=on(1.0))
    assert find(RULE, plank(gap, changes={"D2": {"a_rail": "right"}})) == []


def test_quiet_where_two_crossings_cancel() -> None:
    assert find(RULE, _with_strip(flipped=True, a_rail="right")) == []


def _with_strip(*, flipped: bool, a_rail: Side = "left") -> Layout:
    strip = Strip(id=PartId("TS1"), x_mm=900.0, y_mm=-200.0, flipped=flipped)
    stub = Bus(
        id=PartId("B2"),
        points=(Point(x_mm=900.0, y_mm=-100.0), Point(x_mm=900.0, y_mm=-200.0)),
        start=to_bus(0.9),
        end=ToStrip(part=PartId("TS1"), way=1),
    )
    drops = [
        drop(f"D{n}", p, 0.0, to=ToStrip(part=PartId("TS1"), way=n), a_rail=a_rail)
        for n, p in ((3, 0.6), (4, 0.8), (5, 1.0))
    ]
    return plank(strip, stub, *drops)


def test_fires_and_names_a_crossed_bus_end() -> None:
    # A second bus, crossed where it leaves the first, with two drops of its own.
    second = Bus(
        id=PartId("B2"),
        points=(Point(x_mm=900.0, y_mm=-100.0), Point(x_mm=900.0, y_mm=-300.0)),
        start=to_bus(0.9),
        start_flipped=True,
    )
    drops = (
        drop("D3", 0.6, 0.0, to=to_bus(0.1, "B2")),
        drop("D4", 1.2, 0.0, to=to_bus(0.2, "B2")),
    )
    layout = plank(second, *drops)
    found = find_one(RULE, layout)
    assert "B2" in found.sentence
    assert find(RULE, mended(layout, found)) == []
