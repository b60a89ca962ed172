"""What boosters and devices cannot give with the test train on top of the loads."""

import pytest
from msgspec.structs import replace

from core.analysis.beyond import beyond_bounds, most_given, worst_beyond
from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.checks.rules import below_floor, lost_volts
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, OnRun, Settings, ToPort
from tests.core.analysis.layouts import (
    booster,
    breaker,
    drop,
    layout_of,
    small_line,
    straight,
    straight_bus,
    train,
    watts,
)


def line(train_a: float = 2.0, **fields: float | None) -> Layout:
    """Return a line with 2.5 A standing on it, and a booster of 3 A."""
    layout = small_line(train(1, 1.0, 2.5))
    weak = replace(booster(), **{"rated_a": 3.0, "trip_a": 3.0, **fields})
    settings = replace(layout.settings, test_train_a=train_a)
    return layout_of(*({**layout.parts, weak.id: weak, settings.id: settings}.values()))


def on(position_m: float) -> OnRun:
    return OnRun(run=PartId("R1"), position_m=position_m)


@pytest.mark.parametrize(
    ("fields", "bound", "bound_a"),
    [
        ({"limit_a": 3.5}, "trip", 3.0),
        ({"trip_a": 4.0, "limit_a": 3.5}, "limit", 3.5),
        ({"trip_a": 9.0}, "rated", 3.0),
        # It never gets to 4 A: what it gives at most holds first.
        ({"trip_a": 4.0, "limit_a": 3.5, "rated_a": 9.0}, "limit", 3.5),
    ],
)
def test_the_probe_says_what_holds_first(
    fields: dict[str, float], bound: str, bound_a: float
) -> None:
    # 2.5 A stand there and 2 A come: all through the one booster.
    probe = probe_place(study_layout(line(**fields)), on(4.0))
    (found,) = probe.beyond
    assert (found.part, found.bound, found.bound_a) == ("PB1", bound, bound_a)
    assert found.amps_a == pytest.approx(4.5, abs=1e-9)
    assert "but PB1 would have to give 4.50 A" in probe.sentence


def test_volts_that_cannot_be_had_are_not_good() -> None:
    assert probe_place(study_layout(line()), on(2.0)).drop_verdict == "poor"
    rated_only = line(trip_a=9.0)
    assert probe_place(study_layout(rated_only), on(2.0)).drop_verdict == "good"


def test_nothing_is_said_just_inside() -> None:
    study = study_layout(line(0.5))  # 3.0 A of 3 A
    assert probe_place(study, on(4.0)).beyond == ()
    assert worst_beyond(study) is None
    assert beyond_bounds(study.layout, PartId("PB1"), 3.0) is None
    assert beyond_bounds(study.layout, PartId("R1"), 99.0) is None


def test_a_breaker_on_the_way_counts() -> None:
    layout = layout_of(
        Settings(test_train_a=2.0),
        straight(4.0),
        replace(booster(), rated_a=9.0, trip_a=9.0),
        breaker(1, trip_a=3.0),
        straight_bus(4.0, to="CB1"),
        drop(1, 2.0),
        train(1, 1.0, 2.5),
    )
    study = study_layout(layout)
    (found,) = probe_place(study, on(4.0)).beyond
    assert (found.part, found.bound) == ("CB1", "trip")
    assert most_given(study).keys() == {"CB1"}


def test_of_two_joined_boosters_each_is_asked_where_it_gives_most() -> None:
    # One bus a booster, each with one drop at an end of 8 m of rail: by symmetry a
    # train at an end is given more by the near one than by the far one, and each
    # gives the other's share at the other end: together the train.
    far = Booster(id=PartId("PB2"), x_mm=8000.0, y_mm=-500.0)
    ends = [
        replace(drop(1, 0.0), to=ToPort(part=PartId("PB1"))),
        replace(drop(2, 8.0), to=ToPort(part=PartId("PB2"))),
    ]
    small = [replace(b, rated_a=1.0, trip_a=1.5) for b in (booster(), far)]
    study = study_layout(
        layout_of(Settings(test_train_a=2.0), straight(8.0), *small, *ends)
    )
    given = most_given(study)
    assert given.keys() == {"PB1", "PB2"}
    places = [given[PartId(b)].at for b in ("PB1", "PB2")]
    assert [round(at.position_m, 3) for at in places if at] == [0.0, 8.0]
    near = given[PartId("PB1")].amps_a
    assert near == pytest.approx(given[PartId("PB2")].amps_a, rel=1e-9)
    probe = probe_place(study, on(0.0))
    assert probe.devices[0].amps_a == pytest.approx(near, rel=1e-9)
    # By hand: a loop of R on the rail, r behind each end: near gets (R + r)/(R + 2r).
    whole, end = study.scan.loop_at(len(study.scan.fed) - 1, 1.0), near / 2.0
    rail = sum(b.ohm for b in study.circuit.branches if b.part == "R1")
    behind = sum(b.ohm for b in study.circuit.branches if b.part == "D1") + 0.05
    assert end == pytest.approx((rail + behind) / (rail + 2 * behind), rel=1e-6)
    assert whole == pytest.approx(behind * end, rel=1e-6)


def test_watts_that_answer_the_train_count() -> None:
    layout = layout_of(
        Settings(test_train_a=2.0),
        straight(8.0),
        replace(booster(), rated_a=4.0, trip_a=4.0),
        straight_bus(8.0),
        drop(1, 0.5),
        watts(1, 8.0, 20.0),
    )
    study = study_layout(layout)
    given = most_given(study)[PartId("PB1")]
    assert given.at is not None
    assert given.at.position_m == pytest.approx(8.0)
    volts = probe_place(study, on(8.0)).volts_v
    assert given.amps_a == pytest.approx(2.0 + 20.0 / volts, rel=1e-6)


def test_findings_on_volts_say_it_too() -> None:
    layout = line(2.0)
    strict = replace(layout.settings.limits, drop_good=0.01, drop_most=0.02)
    settings = replace(layout.settings, limits=strict)
    parts = {**layout.parts, settings.id: settings}
    (found,) = lost_volts.RULE.check(study_layout(Layout(parts)))
    assert "But PB1 would have to give 4.50 A and trips at 3.00 A." in found.sentence
    limits = replace(strict, floor_v=14.9)
    settings = replace(settings, limits=limits)
    (found,) = below_floor.RULE.check(
        study_layout(Layout({**parts, settings.id: settings}))
    )
    assert "But PB1 would have to give 4.50 A" in found.sentence
