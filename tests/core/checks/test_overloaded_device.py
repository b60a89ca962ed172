"""W403: a breaker or other device that carries more than it is made for."""

from core.checks.rules.overloaded_device import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, Load, ToPort
from tests.core.checks.plank import find, find_one, on, plank


def loaded(amps: float) -> Layout:
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        rated_a=2.0,
    )
    train = Load(id=PartId("L1"), on=on(0.9), amps_a=amps)
    start = {"B1": {"start": ToPort(part=PartId("CB1"))}}
    return plank(breaker, train, changes=start)


def test_fires_above_its_rating() -> None:
    found = find_one(RULE, loaded(2.1))
    assert found.parts == ("CB1",)
    assert "2.10 A > 2.00 A" in found.figures


def test_quiet_just_below_it() -> None:
    assert find(RULE, loaded(1.99)) == []
