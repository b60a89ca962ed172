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
    five = {"PB1": {"rated_a": 5.0, "trip_a": 5.0}, "settings": {"test_train_a": 0.0}}
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


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        # 2.5 A stand there, a train of 2 A comes: 4.5 A.
        ({"rated_a": 3.0, "trip_a": 3.0, "limit_a": 3.5}, "it trips at 3.00 A"),
        ({"rated_a": 5.0, "trip_a": 4.4, "limit_a": 8.0}, "it trips at 4.40 A"),
        ({"rated_a": 5.0, "trip_a": 8.0, "limit_a": 4.4}, "it gives no more than 4.40"),
    ],
)
def test_fires_where_the_test_train_makes_it_trip_or_give_way(
    fields: dict[str, float], words: str
) -> None:
    changes = {"PB1": fields, "settings": {"test_train_a": 2.0}}
    stands = Load(id=PartId("L1"), on=on(0.9), amps_a=2.5)
    found = find_one(RULE, plank(stands, changes=changes))
    assert found.severity is Severity.FAULT
    assert words in found.sentence
    assert "No volts hold there." in found.sentence
    assert found.figures.startswith("2.50 A standing + 2.00 A with the train = 4.50 A")


def test_advises_where_the_train_only_takes_it_beyond_its_rating() -> None:
    fields = {"rated_a": 4.0, "trip_a": 8.0}
    changes = {"PB1": fields, "settings": {"test_train_a": 2.0}}
    stands = Load(id=PartId("L1"), on=on(0.9), amps_a=2.5)
    found = find_one(RULE, plank(stands, changes=changes))
    assert found.severity is Severity.ADVICE
    assert "made for 4.00 A" in found.sentence


def test_quiet_where_the_train_just_fits() -> None:
    # 2.5 A + 2.0 A = 4.5 A of 4.51 A; 2.5 A leave more than a fifth of it.
    fields = {"rated_a": 4.51, "trip_a": 4.51, "limit_a": 4.51}
    changes = {"PB1": fields, "settings": {"test_train_a": 2.0}}
    stands = Load(id=PartId("L1"), on=on(0.9), amps_a=2.5)
    assert find(RULE, plank(stands, changes=changes)) == []


def test_a_trip_below_the_rating_is_what_counts() -> None:
    fields = {"rated_a": 5.0, "trip_a": 2.0}
    stands = Load(id=PartId("L1"), on=on(0.9), amps_a=2.1)
    found = find_one(RULE, plank(stands, changes={"PB1": fields}))
    assert "it trips at 2.00 A" in found.sentence
