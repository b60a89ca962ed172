"""W203: a wire thinner than what protects it allows."""

from core.checks.finding import Severity
from core.checks.rules.thin_wire import RULE
from core.layout.ids import PartId
from core.layout.parts import Drop, Inline, ToPort
from tests.core.checks.plank import find, find_one, mended, plank


def test_fires_for_bell_wire_behind_a_big_trip() -> None:
    # needs N28: 0.14 mm² carries 1.5 A; here it stands behind 3 A.
    found = find_one(RULE, plank(changes={"D2": {"wire": "0.14mm2-hookup"}}))
    assert found.severity is Severity.HAZARD
    assert found.parts == ("D2", "PB1")
    assert found.size == 3.0 / 1.5


def test_fires_once_for_all_drops_of_one_wire() -> None:
    thin = {"wire": "0.14mm2-hookup"}
    found = find_one(RULE, plank(changes={"D1": thin, "D2": thin}))
    assert found.parts == ("D1", "D2", "PB1")


def test_fires_with_a_thicker_wire_as_its_fix() -> None:
    layout = plank(changes={"D2": {"wire": "0.14mm2-hookup"}})
    better = mended(layout, find_one(RULE, layout))
    assert find(RULE, better) == []
    assert better.need(PartId("D2"), Drop).wire != "0.14mm2-hookup"


def test_quiet_behind_a_breaker_no_larger_than_the_wire() -> None:
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=1.5,
        rated_a=1.5,
    )
    thin = {"wire": "0.14mm2-hookup", "to": ToPort(part=PartId("CB1"))}
    assert find(RULE, plank(breaker, changes={"D2": thin})) == []


def test_fires_just_above_the_rating() -> None:
    thin = {"D2": {"wire": "0.14mm2-hookup"}, "PB1": {"trip_a": 1.51}}
    assert find_one(RULE, plank(changes=thin)).parts == ("D2", "PB1")
