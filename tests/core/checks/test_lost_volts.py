"""W201: too much voltage lost on the way to a train."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.lost_volts import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import ToPort
from tests.core.checks.plank import drop, find, find_one, on, plank, straight

# A stub of 0.2 m, one drop in its middle, straight on the booster. By hand, out
# and back, with the tables' values: leads 2 × 0.19 m × 39 mΩ/m = 15 mΩ, contacts
# 4 × some mΩ (screw and solder joint, at most 5 mΩ each), rail to the end
# 2 × 0.1 m × 76 mΩ/m = 15 mΩ: between 30 and 60 mΩ in all. 1 A train, 15 V:
#   5 % is 0.75 Ω in all, 10 % is 1.5 Ω.


def stub(inner_ohm: float) -> Layout:
    return plank(
        straight("R2", 0.2),
        drop("D3", 0.0, 0.0, on=on(0.1, "R2"), to=ToPort(part=PartId("PB1"))),
        without=("R1", "B1", "D1", "D2"),
        changes={"PB1": {"inner_ohm": inner_ohm, "x_mm": 100.0, "y_mm": 0.0}},
    )


@pytest.mark.parametrize(
    ("inner_ohm", "severity"),
    [(0.73, Severity.ADVICE), (1.40, Severity.ADVICE), (1.48, Severity.FAULT)],
)
def test_fires_beyond_five_and_beyond_ten_per_cent(
    inner_ohm: float, severity: Severity
) -> None:
    assert find_one(RULE, stub(inner_ohm)).severity is severity


def test_quiet_just_below_five_per_cent() -> None:
    assert find(RULE, stub(0.68)) == []


def test_fires_with_the_loss_split_and_the_worst_part_named() -> None:
    found = find_one(RULE, stub(0.73))
    assert "supply 0.73 V" in found.figures
    assert "PB1" in found.parts
    assert "supply itself" in found.remedy


def test_fires_once_a_district_and_counts_its_other_tracks() -> None:
    second = straight("R3", 0.2, y_mm=300.0)
    fed = drop("D4", 0.0, 0.0, on=on(0.1, "R3"), to=ToPort(part=PartId("PB1")))
    layout = stub(0.73)
    both = Layout({**layout.parts, second.id: second, fed.id: fed})
    found = find_one(RULE, both)
    assert found.sentence.endswith("so it is on 1 other track behind PB1.")
    assert {"R2", "R3"} <= set(found.parts)


def test_quiet_where_the_circuit_is_shorted() -> None:
    crossed = {"D2": {"a_rail": "right"}, "PB1": {"inner_ohm": 2.0}}
    assert find(RULE, plank(changes=crossed)) == []
