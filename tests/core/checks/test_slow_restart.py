"""W304: a breaker that cannot restart what stands behind it."""

import pytest

from core.checks.rules.slow_restart import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead, train
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, on, run


def engines(count: int, idle_a: float = 0.4, trip_s: float = 0.016) -> Layout:
    """Return so many engines of 1000 µF behind a 4 A breaker, idling with so much."""
    standing = [
        train(
            n + 1,
            on(1, 0.1 * (n + 1)),
            0.2,
            active=True,
            amps_a=0.3,
            idle_a=idle_a / count,
            store_uf=1000.0,
        )
        for n in range(count)
    ]
    return layout_with(
        layout_of(run(1, 2.0)),
        booster(trip_a=5.0),
        device("CB1", trip_a=4.0, trip_s=trip_s),
        lead(1, on(1, 1.0), "CB1"),
        *standing,
    )


def test_fires_for_n30() -> None:
    # needs.md N30: 6 × 1000 µF at 15 V, 4 A trip, 0.4 A idle: 0.006·15/3.6 = 25 ms
    # > 16 ms: 3 engines at most, or 30 ms delay.
    found = find_one(RULE, engines(6))
    assert found.parts == ("CB1",)
    assert "6 sound engines" in found.sentence
    assert found.figures == "6 mF · 15.00 V / (4.00 A − 0.40 A idle) = 25 ms > 16 ms"
    assert "Keep 3 at most" in found.remedy
    assert "wait 30 ms" in found.remedy


@pytest.mark.parametrize(("count", "fires"), [(3, 0), (4, 1)])
def test_quiet_up_to_three_engines(count: int, fires: int) -> None:
    # 3: 12.5 ms; 4: 16.7 ms.
    assert len(find(RULE, engines(count))) == fires


def test_fires_where_standing_still_takes_it_all() -> None:
    # 4.1 A of idling leaves a 4 A trip nothing at all.
    found = find_one(RULE, engines(6, idle_a=4.1))
    assert "standing still alone takes 4.10 A of the 4.00 A" in found.sentence
    assert found.remedy == (
        "Keep none of them in that district, or part it among more breakers."
    )


def test_quiet_with_a_breaker_that_waits() -> None:
    assert find(RULE, engines(6, trip_s=0.030)) == []


def test_quiet_about_trains_without_stores() -> None:
    silent = train(1, on(1, 0.5), 0.2, active=True, amps_a=0.3)
    layout = layout_with(layout_of(run(1, 2.0)), booster(), lead(1, on(1, 1.0)), silent)
    assert find(RULE, layout) == []


def three_breakers(trip_s: float, limit_a: float | None = None) -> Layout:
    """Return three districts of four engines of 2000 µF, each behind 4 A / 100 ms."""
    parts: list[Part] = [booster(trip_a=5.0, trip_s=trip_s, limit_a=limit_a)]
    for n in range(1, 4):
        parts += [
            device(f"CB{n}", trip_a=4.0, trip_s=0.1),
            lead(n, on(n, 1.0), f"CB{n}"),
        ]
        for m in range(4):
            at = on(n, 0.2 + 0.4 * m)
            own = {"amps_a": 0.3, "idle_a": 0.1, "store_uf": 2000.0}
            parts.append(train(4 * n + m, at, 0.2, active=True, **own))
    return layout_with(layout_of(run(1, 2.0), run(2, 2.0), run(3, 2.0)), *parts)


def test_fires_for_a_booster_whose_breakers_close_at_once() -> None:
    # By the law of N30: 12 × 2000 µF · 15 V / (5 − 1.2) A = 94.7 ms > 10 ms. In turn
    # the third charges at its 4 A beside 0.8 A of the two before: 4.8 A < 5 A.
    found = find_one(RULE, three_breakers(0.010))
    assert found.parts == ("PB1", "CB1", "CB2", "CB3")
    assert "CB1, CB2 and CB3 close at once, with 12 sound engines" in found.sentence
    assert found.figures == (
        "24 mF · 15.00 V / (5.00 A − 1.20 A idle) = 95 ms > 10 ms; they would take "
        "12.0 A together"
    )
    assert found.remedy == (
        "Bring them back one after the other: CB1 after 0.5 s, CB2 after 1.0 s and "
        "CB3 after 1.5 s; PB1 gives 4.80 A then. Or let it wait 114 ms."
    )


def test_quiet_about_a_booster_that_waits_or_holds_its_limit() -> None:
    assert find(RULE, three_breakers(0.095)) == []
    assert find(RULE, three_breakers(0.010, limit_a=4.9)) == []


def test_fires_just_below_what_charging_takes() -> None:
    assert find_one(RULE, three_breakers(0.094)).parts[0] == "PB1"
