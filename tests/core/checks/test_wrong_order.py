"""W303: a device that trips before the one below it."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.wrong_order import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, ToPort
from tests.core.checks.plank import find, find_one, plank


def chain(
    booster_s: float = 0.1, breaker_a: float = 4.0, reverser_s: float = 0.005
) -> Layout:
    """Return needs N27: reverser 3 A 5 ms, breaker 4 A 16 ms, booster 5 A 100 ms."""
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=breaker_a,
        trip_s=0.016,
    )
    reverser = Inline(
        id=PartId("AR1"),
        device="reverser",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("CB1")),
        trip_a=3.0,
        trip_s=reverser_s,
    )
    changes = {
        "PB1": {"trip_a": 5.0, "trip_s": booster_s},
        "B1": {"start": ToPort(part=PartId("AR1"))},
    }
    return plank(breaker, reverser, changes=changes)


def test_quiet_for_a_selective_chain() -> None:
    assert find(RULE, chain()) == []


def test_fires_where_the_booster_wins() -> None:
    # needs N27: booster 10 ms, breaker 16 ms.
    found = find_one(RULE, chain(booster_s=0.010))
    assert found.parts == ("CB1", "PB1")
    assert found.severity is Severity.FAULT


@pytest.mark.parametrize(("booster_s", "count"), [(0.0319, 1), (0.0321, 0)])
def test_fires_as_advice_below_twice_the_time_and_quiet_above(
    booster_s: float, count: int
) -> None:
    found = find(RULE, chain(booster_s=booster_s))
    assert [f.severity for f in found] == [Severity.ADVICE] * count


@pytest.mark.parametrize(("breaker_a", "count"), [(5.0, 0), (5.1, 1)])
def test_fires_where_the_lower_one_lets_more_through(
    breaker_a: float, count: int
) -> None:
    assert len(find(RULE, chain(breaker_a=breaker_a))) == count


def test_fires_between_breaker_and_reverser() -> None:
    assert find_one(RULE, chain(reverser_s=0.016)).parts == ("AR1", "CB1")


def test_fires_once_for_two_breakers_that_are_set_alike() -> None:
    second = Inline(
        id=PartId("CB2"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=4.0,
        trip_s=0.016,
    )
    slow = chain(booster_s=0.010)
    layout = Layout({**slow.parts, second.id: second})
    found = find_one(RULE, layout)
    assert found.parts == ("CB1", "CB2", "PB1")
    assert "wins over CB1 and CB2 with 16 ms" in found.sentence
