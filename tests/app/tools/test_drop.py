"""The drop tool, by gesture."""

import pytest

from core.layout.ids import PartId
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    Point,
    Straight,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from tests.app.tools.hand import Gestures

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=4000.0),),
)
BUS = Bus(
    id=PartId("B1"),
    points=(Point(x_mm=0.0, y_mm=-300.0), Point(x_mm=4000.0, y_mm=-300.0)),
)
STRIP = Strip(id=PartId("TS1"), x_mm=2000.0, y_mm=-120.0, ways=4)
BREAKER = Inline(id=PartId("CB1"), device="breaker", x_mm=1000.0, y_mm=400.0)
BOOSTER = Booster(id=PartId("PB1"), x_mm=3000.0, y_mm=500.0)


def drops(g: Gestures) -> list[Drop]:
    return list(g.layout.of_kind(Drop))


def test_a_click_on_track_finds_the_nearest_bus() -> None:
    g = Gestures("drop", MAIN, BUS).click(1000, 4)
    (drop,) = drops(g)
    assert drop.on == OnRun(run=PartId("R1"), position_m=1.0)
    assert isinstance(drop.to, ToBus)
    assert drop.to.position_m == pytest.approx(1.0)
    assert len(g.desk.changes) == 1
    assert g.state == "Hovering"


def test_a_strip_that_is_nearer_wins_and_gives_its_first_free_way() -> None:
    g = Gestures("drop", MAIN, BUS, STRIP).click(2000, 2).click(2050, 2)
    assert [d.to for d in drops(g)] == [
        ToStrip(part=PartId("TS1"), way=1),
        ToStrip(part=PartId("TS1"), way=2),
    ]


def test_it_keeps_placing_drops() -> None:
    g = Gestures("drop", MAIN, BUS)
    for x in (500, 1500, 2500):
        g.click(x, 0)
    assert [d.id for d in drops(g)] == ["D1", "D2", "D3"]
    assert len(g.desk.changes) == 3


def test_the_next_drop_is_shown_under_the_pointer() -> None:
    g = Gestures("drop", MAIN, BUS).move(700, -5)
    (ghost,) = g.ghosts
    assert isinstance(ghost, Drop)
    assert ghost.on.position_m == pytest.approx(0.7)
    assert g.words == ["on Main"]
    assert drops(g) == []


def test_off_the_track_nothing_is_shown_or_placed() -> None:
    g = Gestures("drop", MAIN, BUS).click(700, 200)
    assert g.desk.marks == ()
    assert g.desk.changes == []


def test_a_drag_chooses_where_it_ends() -> None:
    g = Gestures("drop", MAIN, BUS, BREAKER).drag((1000, 3), (1000, 200), (1010, 395))
    (drop,) = drops(g)
    assert drop.to == ToPort(part=PartId("CB1"), port="out")
    assert len(g.desk.changes) == 1


def test_a_drag_to_a_booster_or_strip_ends_there() -> None:
    g = Gestures("drop", MAIN, STRIP, BOOSTER)
    g.drag((3000, 0), (3000, 300), (3020, 510))
    g.drag((1500, 0), (1800, -60), (2000, -118))
    assert [d.to for d in drops(g)] == [
        ToPort(part=PartId("PB1"), port="out"),
        ToStrip(part=PartId("TS1"), way=1),
    ]


def test_a_drag_to_nothing_leaves_no_trace() -> None:
    g = Gestures("drop", MAIN, BUS).drag((1000, 0), (1000, 200), (1000, 500))
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Hovering"


def test_with_shift_a_second_click_chooses_where_it_ends() -> None:
    g = Gestures("drop", MAIN, BUS, BREAKER).holding(shift=True).click(1000, 0)
    assert g.state == "Reaching"
    g.holding().click(1500, 150)
    assert g.desk.changes == []
    g.click(1000, 400)
    assert drops(g)[0].to == ToPort(part=PartId("CB1"), port="out")
    assert g.state == "Hovering"


@pytest.mark.parametrize("how", ["press", "pull", "reach"])
def test_escape_leaves_no_trace(how: str) -> None:
    g = Gestures("drop", MAIN, BUS)
    if how == "reach":
        g.holding(shift=True).click(1000, 0).move(900, -100)
    else:
        g.move(1000, 0).press(1000, 0)
        if how == "pull":
            g.move(1000, -100)
    g.key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Hovering"


def test_without_anything_to_end_at_it_hangs_loose() -> None:
    (drop,) = drops(Gestures("drop", MAIN).click(1000, 0))
    assert drop.to is None


def test_conductor_a_goes_to_the_rail_that_the_drops_there_say() -> None:
    first = Drop(
        id=PartId("D1"), on=OnRun(run=PartId("R1"), position_m=0.5), a_rail="right"
    )
    g = Gestures("drop", MAIN, BUS, first).click(1000, 0)
    assert g.layout.need(PartId("D2"), Drop).a_rail == "right"
