"""W210: a wire that a short heats too far."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import thin_wire
from core.checks.rules.let_through import RULE
from core.layout.layout import Layout
from core.layout.parts import Point
from tests.core.checks.plank import (
    drop,
    find,
    find_one,
    on,
    plank,
    straight,
    to_bus,
)

THIN: dict[str, object] = {"wire": "awg30-solid", "lead_m": 0.05}
"""0.0509 mm², good for 0.5 A: (115·0.0509)² = 34.3 A²s."""


def thin(
    trip_s: float, *parts: str, trip_a: float = 0.5, without: tuple[str, ...] = ()
) -> Layout:
    """Return the plank with parts of thin wire, on a booster that can push 10 A."""
    booster: dict[str, object] = {"trip_s": trip_s, "limit_a": 10.0, "trip_a": trip_a}
    changes: dict[str, dict[str, object]] = {"PB1": booster}
    for part in parts or ("D1",):
        changes[part] = {"wire": "awg30-solid"} if part == "B1" else THIN
    return plank(changes=changes, without=without)


def test_fires_for_n29() -> None:
    # needs.md N29: 0.05 mm² at 10 A for 500 ms: 50 A²s against (115·0.05)² = 33.
    found = find_one(RULE, thin(0.5, without=("D2",)))
    assert found.parts == ("D1", "PB1")
    assert "50 A²s > (115 × 0.0509 mm²)² = 34.3 A²s" in found.figures
    assert found.severity is Severity.HAZARD


def test_fires_once_for_all_wires_alike() -> None:
    # Each carries a part of the 10 A: in 1 s still more than the 34.3 A²s it stands.
    found = find_one(RULE, thin(1.0, "D1", "D2"))
    assert set(found.parts) == {"D1", "D2", "PB1"}
    assert " get too hot" in found.sentence


def test_fires_for_a_bus_by_its_nearest_drop() -> None:
    # 0.4 m of AWG 30 to D1's tap: 0.34 Ω/m of one wire, some 0.3 Ω: 15 V drive more
    # than the 10 A that the booster can push, all of it through the first stretch.
    assert find_one(RULE, thin(0.5, "B1")).parts == ("B1", "PB1")


@pytest.mark.parametrize("without", [(), ("D2",)])
def test_another_drop_farther_along_a_bus_cures_nothing(
    without: tuple[str, ...],
) -> None:
    # 5 A and 0.5 s; 0.5 mm² stands (115·0.5)² = 3306 A²s, so 81 A. 0.8 m of 0.5 mm² at
    # 39 mΩ/m is 31 mΩ, with 50 mΩ of booster and some contacts 0.1 Ω: about 130 A at
    # D1 by the first stretch of B1. It was asked at its last drop only, 20 m on.
    layout = long_bus(without)
    found = find(RULE, layout)
    assert {part for one in found for part in one.parts} >= {"B1", "D1"}


def long_bus(without: tuple[str, ...]) -> Layout:
    points = (Point(x_mm=0.0, y_mm=-100.0), Point(x_mm=21_000.0, y_mm=-100.0))
    bus = {"points": points, "wire": "0.5mm2-c5", "slack": 0.0}
    return plank(
        straight("R2", 21.0, y_mm=20.0),
        without=without,
        changes={
            "PB1": {"trip_a": 5.0, "trip_s": 0.5, "inner_ohm": 0.05},
            "B1": bus,
            "D1": {"on": on(0.3, "R2"), "to": to_bus(0.3), "lead_m": 0.3},
            "D2": {"on": on(20.0, "R2"), "to": to_bus(20.0), "lead_m": 0.3},
        },
    )


def two_alike(count: int) -> Layout:
    """Return the rails of the plank on so many like drops at one place."""
    drops = (drop(f"D{3 + n}", 0.4, 0.4, **THIN) for n in range(count))
    booster = {"trip_s": 0.5, "limit_a": 10.0, "trip_a": 0.5}
    return plank(*drops, without=("D1", "D2"), changes={"PB1": booster})


def test_two_like_drops_at_one_place_each_carry_half() -> None:
    # 10 A for 0.5 s: one carries 50 A²s of the 34.3 that it stands, each of two 12.5.
    assert [found.parts for found in find(RULE, two_alike(1))] == [("D3", "PB1")]
    assert find(RULE, two_alike(2)) == []


def test_quiet_for_n29_behind_a_fast_breaker() -> None:
    # The same with 16 ms: 1.6 A²s.
    assert find(RULE, thin(0.016)) == []


@pytest.mark.parametrize(("trip_s", "count"), [(0.342, 0), (0.344, 1)])
def test_quiet_just_inside_the_limit(trip_s: float, count: int) -> None:
    # 34.27 A²s / (10 A)² = 0.343 s.
    assert len(find(RULE, thin(trip_s, without=("D2",)))) == count


def test_quiet_where_the_wire_is_too_thin_for_the_trip_itself() -> None:
    layout = thin(0.5, trip_a=3.0)
    assert find(RULE, layout) == []
    assert len(find(thin_wire.RULE, layout)) == 1


def test_quiet_about_usual_wire() -> None:
    assert find(RULE, plank()) == []
