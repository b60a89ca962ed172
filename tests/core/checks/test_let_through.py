"""W210: a wire that a short heats too far."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import thin_wire
from core.checks.rules.let_through import RULE
from core.layout.layout import Layout
from tests.core.checks.plank import find, find_one, plank

THIN: dict[str, object] = {"wire": "awg30-solid", "lead_m": 0.05}
"""0.0509 mm², good for 0.5 A: (115·0.0509)² = 34.3 A²s."""


def thin(trip_s: float, *parts: str, trip_a: float = 0.5) -> Layout:
    """Return the plank with parts of thin wire, on a booster that can push 10 A."""
    booster: dict[str, object] = {"trip_s": trip_s, "limit_a": 10.0, "trip_a": trip_a}
    changes: dict[str, dict[str, object]] = {"PB1": booster}
    for part in parts or ("D1",):
        changes[part] = {"wire": "awg30-solid"} if part == "B1" else THIN
    return plank(changes=changes)


def test_fires_for_n29() -> None:
    # needs.md N29: 0.05 mm² at 10 A for 500 ms: 50 A²s against (115·0.05)² = 33.
    found = find_one(RULE, thin(0.5))
    assert found.parts == ("D1", "PB1")
    assert "50 A²s > (115 × 0.0509 mm²)² = 34.3 A²s" in found.figures
    assert found.severity is Severity.HAZARD


def test_fires_once_for_all_wires_alike() -> None:
    found = find_one(RULE, thin(0.5, "D1", "D2"))
    assert set(found.parts) == {"D1", "D2", "PB1"}
    assert " get too hot" in found.sentence


def test_fires_for_a_bus_by_its_last_drop() -> None:
    # 1.8 m of AWG 30: 0.34 Ω/m of one wire; to D2's tap at 1.4 m and with the slack
    # about 1 Ω: 15 V still drive more than the 10 A that the booster can push.
    assert find_one(RULE, thin(0.5, "B1")).parts == ("B1", "PB1")


def test_quiet_for_n29_behind_a_fast_breaker() -> None:
    # The same with 16 ms: 1.6 A²s.
    assert find(RULE, thin(0.016)) == []


@pytest.mark.parametrize(("trip_s", "count"), [(0.342, 0), (0.344, 1)])
def test_quiet_just_inside_the_limit(trip_s: float, count: int) -> None:
    # 34.27 A²s / (10 A)² = 0.343 s.
    assert len(find(RULE, thin(trip_s))) == count


def test_quiet_where_the_wire_is_too_thin_for_the_trip_itself() -> None:
    layout = thin(0.5, trip_a=3.0)
    assert find(RULE, layout) == []
    assert len(find(thin_wire.RULE, layout)) == 1


def test_quiet_about_usual_wire() -> None:
    assert find(RULE, plank()) == []
