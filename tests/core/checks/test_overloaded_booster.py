"""W401: a booster that has to give too much."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.overloaded_booster import RULE
from core.layout.ids import PartId
from core.layout.parts import Load
from tests.core.checks.plank import find, find_one, on, plank


def trains(each_a: float) -> list[Load]:
    """Return three trains (needs N32)."""
    places = (0.2, 0.9, 1.6)
    return [
        Load(id=PartId(f"L{i}"), on=on(p), amps_a=each_a) for i, p in enumerate(places)
    ]


@pytest.mark.parametrize(
    ("each_a", "severity"), [(2.1, Severity.FAULT), (1.5, Severity.ADVICE)]
)
def test_fires_above_the_rating_and_above_four_fifths(
    each_a: float, severity: Severity
) -> None:
    # 3 × 2.1 = 6.3 A on 5 A; 3 × 1.5 = 4.5 A leave only 10 % of 5 A.
    five = {"PB1": {"rated_a": 5.0, "trip_a": 5.0}}
    found = find_one(RULE, plank(*trains(each_a), changes=five))
    assert found.severity is severity
    assert found.parts == ("PB1",)


def test_quiet_just_below_four_fifths() -> None:
    # 3 × 1.33 = 3.99 A < 0.8 × 5 A.
    five = {"PB1": {"rated_a": 5.0, "trip_a": 5.0}}
    assert find(RULE, plank(*trains(1.33), changes=five)) == []


def test_quiet_where_it_is_shorted() -> None:
    crossed = {"D2": {"a_rail": "right"}}
    assert find(RULE, plank(*trains(2.1), changes=crossed)) == []
