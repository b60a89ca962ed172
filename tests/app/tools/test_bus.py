"""The bus tool, by gesture."""

import pytest

from core.layout.ids import PartId
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Inline,
    Part,
    Point,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
)
from tests.app.tools.hand import Gestures

BOOSTER = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0)
BREAKER = Inline(id=PartId("CB1"), device="breaker", x_mm=1000.0, y_mm=0.0)
STRIP = Strip(id=PartId("TS1"), x_mm=1000.0, y_mm=500.0, ways=4)
TRUNK = Bus(
    id=PartId("B1"),
    points=(Point(x_mm=0.0, y_mm=-800.0), Point(x_mm=2000.0, y_mm=-800.0)),
)


def only_bus(g: Gestures, bus_id: str = "B1") -> Bus:
    return g.layout.need(PartId(bus_id), Bus)


def corners(bus: Bus) -> list[tuple[float, float]]:
    return [(p.x_mm, p.y_mm) for p in bus.points]


def test_clicks_are_corners_and_enter_ends_it_in_one_step() -> None:
    g = Gestures("bus").click(0, 0).click(1000, 0).click(1000, 600).key("enter")
    assert corners(only_bus(g)) == [(0, 0), (1000, 0), (1000, 600)]
    assert len(g.desk.changes) == 1
    assert g.state == "Starting"
    assert g.desk.selection == {"B1"}


def test_it_begins_at_a_booster_and_ends_into_a_breaker() -> None:
    g = Gestures("bus", BOOSTER, BREAKER).click(20, 10).click(500, 300).click(1005, 4)
    bus = only_bus(g)
    assert (bus.start, bus.end) == (
        ToPort(part=PartId("PB1"), port="out"),
        ToPort(part=PartId("CB1"), port="in"),
    )
    assert corners(bus)[0] == (0, 0)
    assert corners(bus)[-1] == (1000, 0)
    assert g.state == "Starting"


def test_it_begins_at_the_far_side_of_a_breaker() -> None:
    g = Gestures("bus", BREAKER).click(1000, 0).click(1500, 0).key("enter")
    assert only_bus(g).start == ToPort(part=PartId("CB1"), port="out")


# Way 1 of 4, 12 mm each, about 1000: 1000 + (1 - 2.5) * 12 = 982.
@pytest.mark.parametrize(
    ("parts", "click", "end", "place"),
    [
        ((STRIP,), (1004, 503), ToStrip(part=PartId("TS1"), way=1), (982, 500)),
        ((TRUNK,), (702, -797), ToBus(part=PartId("B1"), position_m=0.7), (700, -800)),
        (
            (TRUNK,),
            (1998, -803),
            ToBus(part=PartId("B1"), position_m=2.0),
            (2000, -800),
        ),
    ],
)
def test_it_ends_on_a_strip_or_another_bus(
    parts: tuple[Part, ...],
    click: tuple[float, float],
    end: Attachment,
    place: tuple[float, float],
) -> None:
    g = Gestures("bus", *parts).click(0, 300).click(*click)
    bus = next(
        b
        for b in g.layout.of_kind(Bus)
        if b.id != "B1" or len(parts) == 0 or parts[0] is STRIP
    )
    assert bus.end == end
    assert corners(bus)[-1] == pytest.approx(place)
    assert len(g.desk.changes) == 1


def test_shift_keeps_it_along_or_across() -> None:
    g = Gestures("bus").click(0, 0).holding(shift=True).click(900, 250).key("enter")
    assert corners(only_bus(g)) == [(0, 0), (900, 0)]


def test_a_nearly_level_leg_is_made_level() -> None:
    g = Gestures("bus").click(0, 0).click(1000, 4).key("enter")
    assert corners(only_bus(g))[1] == (1000, 0)


def test_a_typed_length_goes_towards_the_pointer() -> None:
    g = Gestures("bus").click(0, 0).move(0, -100).type("2.4 m").key("enter")
    g.key("enter")
    assert corners(only_bus(g))[1] == pytest.approx((0, -2400))


def test_backspace_takes_a_corner_back() -> None:
    g = Gestures("bus").click(0, 0).click(500, 0).click(500, 500)
    g.key("backspace").key("enter")
    assert corners(only_bus(g)) == [(0, 0), (500, 0)]
    g = Gestures("bus").click(0, 0).key("backspace")
    assert g.state == "Starting"


def test_a_double_click_ends_it() -> None:
    g = Gestures("bus").click(0, 0).double(500, 0)
    assert corners(only_bus(g)) == [(0, 0), (500, 0)]
    assert g.state == "Starting"


def test_escape_leaves_no_trace() -> None:
    g = Gestures("bus", BOOSTER).click(0, 0).click(500, 0).move(900, 0).key("escape")
    assert g.desk.changes == []
    assert g.desk.marks == ()
    assert g.state == "Starting"


def test_a_leg_of_no_length_is_not_drawn() -> None:
    g = Gestures("bus").click(0, 0).click(0, 0).key("enter")
    assert g.desk.changes == []


def test_a_drag_draws_the_first_leg() -> None:
    g = Gestures("bus").drag((0, 0), (300, 0), (700, 0)).key("enter")
    assert corners(only_bus(g)) == [(0, 0), (700, 0)]


def test_the_pointer_is_told_what_it_is_pulled_to() -> None:
    assert Gestures("bus", BOOSTER).move(10, 5).words == ["out of PB1"]
    g = Gestures("bus", BOOSTER, BREAKER).click(0, 0)
    assert g.move(1000, 3).words == ["into CB1"]
