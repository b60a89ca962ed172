"""W305: a bad contact that could burn without tripping anything."""

import pytest

from core.checks.finding import Severity
from core.checks.rules import big_breaker
from core.checks.rules.hot_contact import RULE
from core.layout.layout import Layout
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, on, run


def track(volts: float, trip_a: float, inner_ohm: float = 0.05) -> Layout:
    """Return a metre of track with its drop at the start.

    Loop there by hand: the booster's own, and 2·(0.3·39.0 + 2.0 + 0.5) = 28.4 mΩ.
    """
    source = booster(volts_v=volts, trip_a=trip_a, inner_ohm=inner_ohm)
    return layout_with(layout_of(run(1, 1.0)), source, lead(1, on(1, 0.0)))


def test_fires_for_five_amperes_at_eighteen_volts() -> None:
    # (18 − 5·0.0784)·5 = 88.0 W; 75 W is the limit: 5·75/88 = 4.26, so 4 A.
    found = find_one(RULE, track(18.0, 5.0))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("PB1", "R1")
    assert "burn with 88 W" in found.sentence
    assert "Set PB1 to 4.00 A or less" in found.remedy


@pytest.mark.parametrize(("volts", "count"), [(15.0, 0), (15.38, 0), (15.40, 1)])
def test_quiet_up_to_75_watts(volts: float, count: int) -> None:
    # (V − 0.392)·5 = 75 at V = 15.392. needs.md N26 has 62 W at 15 V behind 0.5 Ω.
    assert len(find(RULE, track(volts, 5.0))) == count


def test_quiet_where_the_wiring_lets_less_through() -> None:
    # Behind 1 Ω the heat is (18 − 5·1.028)·5 = 64 W.
    assert find(RULE, track(18.0, 5.0, inner_ohm=1.0)) == []


def test_quiet_where_the_breaker_is_too_big_anyhow() -> None:
    layout = track(18.0, 8.0)
    assert find(RULE, layout) == []
    assert len(find(big_breaker.RULE, layout)) == 1


def test_quiet_about_large_scales() -> None:
    assert find(RULE, layout_with(track(18.0, 5.0), scale="G")) == []
