"""W206: a load that asks for more watts than the wiring can carry."""

from msgspec.structs import replace

from core.checks.rules.starved_load import RULE
from core.layout.ids import PartId
from core.layout.parts import Load
from tests.core.checks.plank import find, find_one, on, plank

# Behind 5 Ω, 15 V give 15² / (4 · 5) = 11.25 W at most; bus, leads and rail add
# between 0.03 and 0.15 Ω, so 10.9 to 11.2 W are left at D2.
WEAK = {"PB1": {"inner_ohm": 5.0}, "settings": {"test_train_a": 0.0}}


def boiler(watts: float) -> Load:
    return Load(id=PartId("L1"), on=on(1.4), use="standing", watts_w=watts)


def test_fires_above_what_any_current_gives() -> None:
    found = find_one(RULE, plank(boiler(11.26), changes=WEAK))
    assert found.parts == ("L1", "R1")


def test_two_loads_that_cannot_both_be_fed_have_a_true_sum() -> None:
    # Alone each could have its 6 W; beside the other's 6 W some 11.2 − 6 = 5.2 W.
    loads = (boiler(6.0), replace(boiler(6.0), id=PartId("L2")))
    found = find_one(RULE, plank(*loads, changes=WEAK))
    assert "for it alone; beside the other loads" in found.figures
    most = float(found.figures.split("beside the other loads ")[1].split(" W")[0])
    assert 4.9 <= most <= 5.25
    assert find(RULE, plank(loads[0], changes=WEAK)) == []


def test_quiet_just_below_it() -> None:
    assert find(RULE, plank(boiler(10.8), changes=WEAK)) == []
