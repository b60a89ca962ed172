"""W306: a booster that cannot push enough to trip what stands behind it."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import weak_short
from core.checks.rules.no_push import RULE
from core.layout.layout import Layout
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, on, run


def track(limit_a: float | None, feed: str = "PB1") -> Layout:
    """Return a metre of track on a booster that trips at 3 A, or a fuse of 2 A."""
    return layout_with(
        layout_of(run(1, 1.0)),
        booster(limit_a=limit_a),
        device("F1"),
        lead(1, on(1, 0.5), feed),
    )


@pytest.mark.parametrize(
    ("limit_a", "severity"),
    [
        (2.9, Severity.HAZARD),
        (3.1, Severity.FAULT),
        (4.4, Severity.FAULT),
        (4.6, Severity.ADVICE),
        (5.9, Severity.ADVICE),
    ],
)
def test_fires_below_two_one_and_a_half_and_one(
    limit_a: float, severity: Severity
) -> None:
    # 3 A times 1, 1.5 and 2: 3, 4.5 and 6 A.
    found = find_one(RULE, track(limit_a))
    assert found.severity is severity
    assert found.parts == ("PB1", "R1")


def test_fires_alone_the_wiring_is_not_to_blame() -> None:
    layout = track(3.1)
    assert find(weak_short.RULE, layout) == []
    assert "Set PB1 to 1.55 A or less" in find_one(RULE, layout).remedy


def test_fires_for_a_fuse_on_the_way() -> None:
    # A fuse of 2 A behind 3.9 A: 1.95 times.
    found = find_one(RULE, track(3.9, "F1"))
    assert found.parts == ("F1", "PB1", "R1")


def test_quiet_from_twice_the_trip_on() -> None:
    assert find(RULE, track(6.0)) == []
    assert find(RULE, track(4.1, "F1")) == []


def test_quiet_where_no_limit_is_said() -> None:
    assert find(RULE, track(None)) == []
