"""W403: a breaker or other device that carries more than it is made for."""

from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.overloaded_device import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, Load, ToPort
from tests.core.checks.plank import find, find_one, on, plank


def loaded(amps: float, train_a: float = 0.0, **fields: float) -> Layout:
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        rated_a=2.0,
    )
    train = Load(id=PartId("L1"), on=on(0.9), amps_a=amps)
    breaker = replace(breaker, **fields)
    start = {
        "B1": {"start": ToPort(part=PartId("CB1"))},
        "settings": {"test_train_a": train_a},
        "PB1": {"rated_a": 9.0, "trip_a": 9.0},
    }
    return plank(breaker, train, changes=start)


def test_fires_above_its_rating() -> None:
    found = find_one(RULE, loaded(2.1))
    assert found.parts == ("CB1",)
    assert "2.10 A > 2.00 A" in found.figures


def test_quiet_just_below_it() -> None:
    assert find(RULE, loaded(1.99)) == []


def test_fires_where_the_test_train_makes_it_trip() -> None:
    # 1.5 A stand there and a train of 1 A comes: 2.5 A.
    found = find_one(RULE, loaded(1.5, 1.0, trip_a=2.4))
    assert (found.severity, found.parts) == (Severity.FAULT, ("CB1",))
    assert "it trips at 2.40 A" in found.sentence
    assert found.figures == "1.50 A standing + 1.00 A with the train = 2.50 A > 2.40 A"


def test_advises_where_the_train_only_takes_it_beyond_its_rating() -> None:
    found = find_one(RULE, loaded(1.5, 1.0, trip_a=4.0))
    assert (found.severity, found.parts) == (Severity.ADVICE, ("CB1",))


def test_quiet_where_the_train_just_fits() -> None:
    assert find(RULE, loaded(1.5, 0.49, trip_a=2.0)) == []
