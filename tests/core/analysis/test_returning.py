"""How power comes back, all at once and in turn, by hand.

Each engine charges at what its breaker lets through, by C·V/(I_trip − I_idle) of
needs.md N30; no test takes a figure from the code.
"""

from typing import Any

import pytest

from core.analysis.examine import study_layout
from core.analysis.returning import Together, plan_together, returns
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Load, Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.network.track import layout_of, on, run


def engine(number: int, track: int, store_uf: float = 1000.0) -> Load:
    place = on(track, 0.1 * (number % 10 + 1))
    return Load(
        id=PartId(f"L{number}"), on=place, amps_a=0.3, idle_a=0.1, store_uf=store_uf
    )


def studied(*parts: Part, tracks: int = 2) -> Study:
    return study_layout(
        layout_with(layout_of(*(run(n + 1, 2.0) for n in range(tracks))), *parts)
    )


def districts(trip_a: float, trip_s: float, **fields: Any) -> Study:
    """Return two breakers of 2 A / 100 ms with two engines each, and their booster."""
    parts: list[Part] = [booster(trip_a=trip_a, trip_s=trip_s, **fields)]
    for n in (1, 2):
        parts += [
            device(f"CB{n}", trip_a=2.0, trip_s=0.1),
            lead(n, on(n, 1.0), f"CB{n}"),
            engine(10 * n, n),
            engine(10 * n + 1, n),
        ]
    return studied(*parts)


def the_only(study: Study) -> Together:
    (found,) = plan_together(study)
    return found


def test_a_booster_that_gives_what_all_breakers_pass_never_trips() -> None:
    # 2 · 2 A = 4 A of 4 A; charging would take it 0.06 / (4 − 0.4) = 16.7 ms > 1 ms.
    found = the_only(districts(4.0, 0.001))
    assert found.asked_a == pytest.approx(4.0)
    assert found.holds
    assert found.charge_s == pytest.approx(0.06 / 3.6)
    assert not the_only(districts(3.99, 0.001)).holds


def test_it_holds_where_it_waits_as_long_as_charging_takes() -> None:
    # 4 mF · 15 V / (3 − 0.4) A = 23.08 ms.
    assert the_only(districts(3.0, 0.0231)).holds
    assert not the_only(districts(3.0, 0.0230)).holds


def test_a_booster_that_limits_below_its_trip_stays_on() -> None:
    assert the_only(districts(3.0, 0.001, limit_a=2.5)).holds


def test_in_turn_each_charges_beside_those_that_stand_still() -> None:
    # CB1 alone 2 A; CB2 2 A beside 0.2 A: 2.2 A.
    found = the_only(districts(3.0, 0.001))
    assert [turn.peak_a for turn in found.turns] == pytest.approx([2.0, 2.2])
    assert found.peak_a == pytest.approx(2.2)
    assert found.holds_in_turn


def test_a_booster_that_trips_even_in_turn_is_told_so() -> None:
    # 2.2 A on 2.1 A: it pushes 2.1 − 0.2 A, so 0.03 / (1.9 − 0.2) = 17.6 ms.
    for trip_s, holds in ((0.0177, True), (0.0176, False)):
        found = the_only(districts(2.1, trip_s))
        assert found.turns[1].lasts_s == pytest.approx(0.03 / 1.7)
        assert found.holds_in_turn is holds


def test_a_store_without_a_breaker_takes_all_there_is() -> None:
    study = studied(
        booster(trip_a=5.0, trip_s=0.001),
        device("CB1", trip_a=2.0, trip_s=0.1),
        lead(1, on(1, 1.0), "CB1"),
        lead(2, on(2, 1.0)),
        engine(1, 1),
        engine(2, 2),
    )
    found = the_only(study)
    assert found.asked_a == float("inf")
    assert found.stores == 2
    # 2 mF · 15 V / (5 − 0.2) A = 6.25 ms.
    assert found.charge_s == pytest.approx(0.00625)
    assert not found.holds


def test_breakers_behind_a_breaker_pass_no_more_than_it_does() -> None:
    # Two of 2 A behind one of 3 A: it is asked 4 A, the booster 3 A.
    parts: list[Part] = [
        booster(trip_a=3.0, trip_s=0.001),
        device("CB9", trip_a=3.0, trip_s=0.001),
    ]
    for n in (1, 2):
        parts += [
            device(f"CB{n}", "CB9", trip_a=2.0, trip_s=0.1),
            lead(n, on(n, 1.0), f"CB{n}"),
            engine(n, n),
        ]
    found = {one.part: one for one in plan_together(studied(*parts))}
    assert found.keys() == {"CB9", "PB1"}
    assert found[PartId("CB9")].asked_a == pytest.approx(4.0)
    assert not found[PartId("CB9")].holds
    assert found[PartId("PB1")].asked_a == pytest.approx(3.0)
    assert found[PartId("PB1")].holds
    assert found[PartId("PB1")].below == ("CB9",)


def test_nothing_is_told_where_nothing_charges_or_nothing_stands_above() -> None:
    still = engine(1, 1, 0.0)
    study = studied(booster(), device("CB1"), lead(1, on(1, 1.0), "CB1"), still)
    assert plan_together(study) == ()
    alone = studied(booster(), lead(1, on(1, 1.0)), engine(1, 1))
    assert plan_together(alone) == ()
    assert len(returns(alone)) == 1
