"""W302: small-scale track that nothing small enough protects."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.big_breaker import RULE
from core.layout.ids import PartId
from core.layout.parts import Inline, Settings, ToPort
from tests.core.checks.plank import find, find_one, plank


def test_fires_for_ten_amps_straight_on_the_rails() -> None:
    found = find_one(RULE, plank(changes={"PB1": {"trip_a": 10.0}}))
    assert found.severity is Severity.HAZARD
    assert found.parts == ("PB1", "R1")


def test_fires_with_the_watts_of_a_bad_short() -> None:
    # By hand: just under 10 A, 0.05 Ω inside and 30 to 90 mΩ of bus, contacts and
    # leads before the best place: (15 − 10 · 0.08…0.14) · 10 = 136 to 142 W.
    found = find_one(RULE, plank(changes={"PB1": {"trip_a": 10.0}}))
    watts = float(found.sentence.split(" W ")[0].split()[-1])
    assert 136 <= watts <= 142


def test_quiet_at_five_amps() -> None:
    assert find(RULE, plank(changes={"PB1": {"trip_a": 5.0}})) == []


def test_quiet_behind_a_smaller_breaker() -> None:
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
    )
    changes = {
        "PB1": {"trip_a": 10.0},
        "B1": {"start": ToPort(part=PartId("CB1"))},
    }
    assert find(RULE, plank(breaker, changes=changes)) == []


@pytest.mark.parametrize("scale", ["O", "G"])
def test_quiet_for_large_scales(scale: str) -> None:
    settings = Settings(scale="O" if scale == "O" else "G")
    assert find(RULE, plank(settings, changes={"PB1": {"trip_a": 10.0}})) == []
