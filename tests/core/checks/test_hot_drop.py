"""W216: a drop that a passing train loads beyond what it stands."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.hot_drop import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Load
from tests.core.checks.plank import find, find_one, on, plank

# D2 alone: all of a train runs through it. The trip is no higher than what the wire
# stands, so that W203 has nothing to say.
FREE = {"PB1": {"trip_a": 1.5}}
BELL = {"wire": "0.14mm2-hookup"}


def alone(train_a: float, **drop: object) -> Layout:
    changes = {"settings": {"test_train_a": train_a}, **FREE, "D2": drop}
    return plank(without=("D1",), changes=changes)


def test_fires_above_the_rating_of_the_wire() -> None:
    # 0.14 mm² carries 1.5 A (hobby press, see the wire table).
    found = find_one(RULE, alone(1.6, **BELL))
    assert found.severity is Severity.FAULT
    assert found.parts == ("D2",)
    assert "1.60 A > 1.50 A" in found.figures
    assert found.size == pytest.approx(1.6 / 1.5)


def test_quiet_just_below_the_rating_of_the_wire() -> None:
    assert find(RULE, alone(1.49, **BELL)) == []


def test_fires_where_a_connector_gets_too_hot() -> None:
    # A worn plug of 100 mΩ and 0.5 mΩ of solder: 3.3² × 0.1005 = 1.09 W.
    found = find_one(RULE, alone(3.3, contact="plug-worn"))
    assert "1.1 W" in found.sentence
    assert found.size == pytest.approx(3.3**2 * 0.1005, rel=1e-6)


def test_quiet_where_a_connector_is_just_cool_enough() -> None:
    # 3.1² × 0.1005 = 0.97 W.
    assert find(RULE, alone(3.1, contact="plug-worn")) == []


def test_fires_with_what_stands_on_the_track_told_beside_the_train() -> None:
    lamp = Load(id=PartId("L1"), on=on(1.4), use="standing", amps_a=0.4)
    changes = {"settings": {"test_train_a": 1.2}, **FREE, "D2": BELL}
    found = find_one(RULE, plank(lamp, without=("D1",), changes=changes))
    assert "0.40 A standing + 1.20 A of the train = 1.60 A" in found.figures


def test_quiet_where_another_drop_takes_its_share() -> None:
    # With D1 there a 1.6 A train on D2 leaves it less than 1.5 A: rail and D1 help.
    changes = {"settings": {"test_train_a": 1.6}, **FREE, "D2": BELL}
    assert find(RULE, plank(changes=changes)) == []


def test_quiet_where_the_wire_is_too_thin_for_its_breaker_anyhow() -> None:
    changes = {"settings": {"test_train_a": 1.6}, "D2": BELL}  # behind 3 A: W203
    assert find(RULE, plank(without=("D1",), changes=changes)) == []


def test_quiet_where_a_short_makes_the_figures_meaningless() -> None:
    crossed = {
        "settings": {"test_train_a": 1.6},
        **FREE,
        "D2": {**BELL, "a_rail": "right"},
    }
    assert find(RULE, plank(changes=crossed)) == []
