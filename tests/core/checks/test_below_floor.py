"""W202: fewer volts at the rails than a train needs at all."""

import pytest

from core.checks.rules import lost_volts
from core.checks.rules.below_floor import RULE
from core.layout.parts import Limits, Settings
from tests.core.checks.plank import find, find_one, plank

# 1 A at the middle of the plank's first piece: the booster's own 0.05 Ω lose
# 0.05 V, so 14.95 V at most are left; bus, leads and rail (2 × 13.3 mΩ/m × 0.4 m,
# 2 × 39 mΩ/m × 0.3 m, 2 × 76 mΩ/m × 0.5 m at most) lose under 0.2 V: 14.75 V at
# least are left.


def floor(volts: float) -> Settings:
    return Settings(scale="HO", test_train_a=1.0, limits=Limits(floor_v=volts))


def test_fires_below_the_floor_of_the_settings() -> None:
    found = find_one(RULE, plank(floor(14.96)))
    assert "< 14.96 V" in found.figures


def test_quiet_just_above_the_floor() -> None:
    assert find(RULE, plank(floor(14.75))) == []


def test_fires_alone_where_both_limits_are_passed() -> None:
    # One cause, one sentence: W201 leaves what is below the floor to this rule.
    changes = {"PB1": {"inner_ohm": 9.0}}
    assert find_one(RULE, plank(changes=changes)).size == pytest.approx(7.0 / 6.0, 0.05)
    assert find(lost_volts.RULE, plank(changes=changes)) == []


def test_fires_where_nothing_at_all_is_left() -> None:
    # 1 A through 20 Ω would take 20 V of 15.
    found = find_one(RULE, plank(changes={"PB1": {"inner_ohm": 20.0}}))
    assert "nothing is left" in found.sentence
