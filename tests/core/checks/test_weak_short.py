"""W301: a short circuit that its breaker may not notice."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.weak_short import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, Point, ToPort
from tests.core.checks.plank import drop, find, find_one, on, plank, straight, to_bus

# A stub of 0.2 m straight on the booster: some 30 to 60 mΩ (see test_lost_volts)
# and under 1 µH; beside an inner resistance of ohms its inductance counts for
# nothing (τ = L/R < 1 µs of 58 µs), so the average of the square wave is V/R less
# at most 2τ/T = 3 %. With 15 V and a trip of 3 A: V/R is 9 A at 1.667 Ω (3 times),
# 6 A at 2.5 Ω (2 times), 4.5 A at 3.33 Ω (1.5 times), 3 A at 5 Ω (1 time).


def stub(inner_ohm: float) -> Layout:
    return plank(
        straight("R2", 0.2),
        drop("D3", 0.0, 0.0, on=on(0.1, "R2"), to=ToPort(part=PartId("PB1"))),
        without=("R1", "B1", "D1", "D2"),
        changes={"PB1": {"inner_ohm": inner_ohm, "x_mm": 100.0, "y_mm": 0.0}},
    )


@pytest.mark.parametrize(
    ("inner_ohm", "severity"),
    [
        (2.50, Severity.ADVICE),
        (3.10, Severity.ADVICE),
        (3.34, Severity.FAULT),
        (4.70, Severity.FAULT),
        (5.00, Severity.HAZARD),
    ],
)
def test_fires_below_two_one_and_a_half_and_one(
    inner_ohm: float, severity: Severity
) -> None:
    found = find_one(RULE, stub(inner_ohm))
    assert found.severity is severity
    assert "R2" in found.parts
    assert "PB1" in found.parts


@pytest.mark.parametrize(
    ("inner_ohm", "severity", "said"),
    [
        (5.5, Severity.HAZARD, "it may never turn; wheels across a gap"),
        (3.6, Severity.FAULT, "it may be slow to turn, or not turn at all"),
        (2.6, Severity.ADVICE, "it will turn, but with little to spare"),
        (2.05, None, ""),
    ],
)
def test_a_reverser_that_its_gap_would_not_flip_is_named(
    inner_ohm: float, severity: Severity | None, said: str
) -> None:
    # A reverser of 3 A turns its section when wheels short it at a gap. 15 V through
    # 5.5 Ω and some 50 mΩ: 2.7 A, too little; through 2.05 Ω: 7.1 A, 2.4 times. The
    # amps are needs.md's, of blades of 2.5 and 0.8 Ω each; the sum is by hand. Through
    # 3.6 Ω: 4.1 A, 1.37 times; through 2.6 Ω: 5.7 A, 1.9 times.
    reverser = Inline(
        id=PartId("AR1"),
        device="reverser",
        x_mm=100.0,
        y_mm=0.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=3.0,
    )
    layout = plank(
        straight("R2", 0.2),
        drop("D3", 0.0, 0.0, on=on(0.1, "R2"), to=ToPort(part=PartId("AR1"))),
        reverser,
        without=("R1", "B1", "D1", "D2"),
        changes={"PB1": {"inner_ohm": inner_ohm, "x_mm": 100.0, "y_mm": 0.0}},
    )
    found = find(RULE, layout)
    assert [f.severity for f in found] == ([severity] if severity else [])
    assert all(f"AR1 turns at 3.00 A: {said}" in f.sentence for f in found)
    assert all("breaker" not in f.remedy for f in found)


def test_quiet_about_track_that_is_not_fed() -> None:
    assert find(RULE, plank(straight("R2", 0.5, y_mm=500.0))) == []


def test_quiet_just_above_twice_the_trip() -> None:
    assert find(RULE, stub(2.35)) == []


def test_fires_for_a_long_loose_bus_and_blames_its_inductance() -> None:
    # needs 3.6: 40 m of 14 AWG, conductors 100 mm apart: 17.8 A by resistance,
    # 3.7 A rms of ones in truth; a 5 A trip may never come.
    found = find_one(RULE, far_end("apart"))
    assert found.severity is Severity.HAZARD
    assert "twist B1." in found.remedy


def test_fires_and_says_so_where_the_supply_itself_gives_no_more() -> None:
    assert "supply itself" in find_one(RULE, stub(5.0)).remedy


def test_fires_less_badly_once_the_bus_is_twisted() -> None:
    # needs 3.6: twisted it is 9.0 A rms of ones, 1.8 times 5 A; the average,
    # which the breaker senses, lies below the rms.
    found = find_one(RULE, far_end("twisted"))
    assert found.severity in (Severity.ADVICE, Severity.FAULT)


def far_end(lay: str) -> Layout:
    points = (Point(x_mm=0.0, y_mm=-100.0), Point(x_mm=40000.0, y_mm=-100.0))
    return plank(
        straight("R2", 0.9, x_mm=39500.0),
        drop("D3", 0.0, 0.0, on=on(0.45, "R2"), to=to_bus(39.95)),
        without=("R1", "D1", "D2"),
        changes={
            "B1": {"points": points, "wire": "awg14-solid", "lay": lay, "slack": 0.0},
            "PB1": {"trip_a": 5.0},
        },
    )
