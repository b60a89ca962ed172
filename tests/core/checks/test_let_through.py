"""W210: a wire that a short heats too far."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.let_through import RULE
from core.layout.layout import Layout
from tests.core.checks.plank import find, find_one, plank


def thin(trip_s: float, wire: str = "awg30-solid") -> Layout:
    """Return the plank with D1 of a wire, on a booster that can push 10 A."""
    return plank(
        changes={
            "D1": {"wire": wire, "lead_m": 0.05},
            "PB1": {"trip_s": trip_s, "limit_a": 10.0, "trip_a": 3.0},
        }
    )


def test_fires_for_n29() -> None:
    # needs.md N29: 0.05 mm² at 10 A for 500 ms: 50 A²s against (115·0.05)² = 33.
    # AWG 30 has 0.0509 mm²: (115·0.0509)² = 34.3.
    found = find_one(RULE, thin(0.5))
    assert found.parts[0] == "D1"
    assert "50 A²s > (115 × 0.0509 mm²)² = 34.3 A²s" in found.figures
    assert found.severity is Severity.HAZARD


def test_quiet_for_n29_behind_a_fast_breaker() -> None:
    # The same with 16 ms: 1.6 A²s.
    assert find(RULE, thin(0.016)) == []


@pytest.mark.parametrize(("trip_s", "count"), [(0.342, 0), (0.344, 1)])
def test_quiet_just_inside_the_limit(trip_s: float, count: int) -> None:
    # 34.27 A²s / (10 A)² = 0.343 s.
    assert len(find(RULE, thin(trip_s))) == count


def test_quiet_about_usual_wire() -> None:
    assert find(RULE, plank()) == []
