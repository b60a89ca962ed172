"""Who trips first, restart, legs, lazy shorts and the weakest places."""

from itertools import pairwise

import pytest
from msgspec.structs import replace

from core.analysis.along import track_values
from core.analysis.examine import study_layout
from core.analysis.legs import describe_legs
from core.analysis.probe import lazy_watts, probe_place
from core.analysis.restart import charge_time, plan_restart
from core.analysis.shorts import limit_of
from core.analysis.study import Extreme
from core.analysis.weak import weakest_shorts
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Gap,
    Load,
    OnRun,
    Part,
    Point,
    Settings,
    ToBus,
)
from tests.core.analysis.layouts import (
    booster,
    breaker,
    drop,
    layout_of,
    small_line,
    straight,
    straight_bus,
    train,
)


def behind_a_breaker(*more: Part, supply: Booster | None = None) -> Layout:
    return layout_of(
        Settings(),
        straight(4.0),
        supply or booster(),
        breaker(1, trip_a=4.0),
        straight_bus(4.0, to="CB1"),
        drop(1, 1.0),
        drop(2, 3.0),
        *more,
    )


@pytest.mark.parametrize(("booster_s", "first"), [(0.1, "CB1"), (0.010, "PB1")])
def test_n27_the_faster_of_those_that_trip_is_first(
    booster_s: float, first: str
) -> None:
    # needs.md N27: sub-breaker 4 A/16 ms under a booster 5 A/100 ms: selective;
    # a booster of 10 ms: "booster wins". Both see far more than they trip at.
    layout = behind_a_breaker(supply=replace(booster(), trip_s=booster_s))
    probe = probe_place(study_layout(layout), OnRun(run=PartId("R1"), position_m=2.0))
    assert next(r.part for r in probe.race if r.trips) == first


def test_a_booster_that_limits_its_current_may_never_trip_what_stands_below() -> None:
    # A booster that holds a short at 3 A never shows 4 A to the breaker.
    layout = behind_a_breaker(supply=replace(booster(), limit_a=3.0))
    probe = probe_place(study_layout(layout), OnRun(run=PartId("R1"), position_m=2.0))
    assert probe.margin == pytest.approx(0.75)
    assert not probe.race[0].trips


def test_n26_heat_of_a_lazy_short() -> None:
    # needs.md 3.10, 0.5 Ω at 15 V: 2 A 28 W, 3 A 40 W, 5 A 62 W, 8 A 88 W;
    # (15 − I·0.5)·I by hand: 28.0, 40.5, 62.5, 88.0.
    found = [lazy_watts(15.0, 0.5, amps) for amps in (2.0, 3.0, 5.0, 8.0)]
    assert found == pytest.approx([28.0, 40.5, 62.5, 88.0])


def test_heat_of_a_short_is_at_most_a_quarter_of_v_squared_over_r() -> None:
    assert lazy_watts(15.0, 3.0, 5.0) == pytest.approx(15.0**2 / 12.0)


def test_what_limits_a_short() -> None:
    # needs.md 3.6: 40 m loose: 17.8 A by resistance, 3.7 A rms: inductance.
    # The same twisted: 9.0 of 17.8 is still under 1/√2 of it.
    assert limit_of(3.7, 17.8) == "inductance"
    assert limit_of(9.0, 17.8) == "inductance"
    assert limit_of(27.0, 30.0) == "resistance"


def engines(count: int) -> list[Load]:
    return [
        replace(train(i + 1, 0.5 + 0.4 * i, 0.3), idle_a=0.4 / count, store_uf=1000.0)
        for i in range(count)
    ]


def test_n30_six_sound_engines_do_not_restart_and_three_do() -> None:
    # needs.md N30: 6 × 1000 µF at 15 V, trip 4 A, idle 0.4 A: 0.09 C / 3.6 A =
    # 25 ms > 16 ms. Three take 12.5 ms, four 16.7 ms: at most three.
    (restart,) = plan_restart(study_layout(behind_a_breaker(*engines(6))))
    assert restart.charge_s == pytest.approx(0.025)
    assert restart.trip_s == 0.016
    assert (restart.stores, restart.most) == (6, 3)


def test_no_time_is_enough_when_idling_takes_all_the_current() -> None:
    assert charge_time(1e-3, 15.0, 4.0, 4.0) == float("inf")


def loose_bus(length_m: float = 40.0) -> Layout:
    layout = small_line(train(1, 39.0, 4.5), length_m=length_m, drops=(39.5,))
    bus = layout.need(PartId("B1"), Bus)
    return layout_of(
        *(p for p in layout.parts.values() if p.id != "B1"),
        replace(bus, wire="awg14-solid", lay="apart", spacing_mm=100.0, slack=0.0),
    )


def test_n52_inductance_and_n56_notch_of_a_loose_leg() -> None:
    # needs.md N52: 40 m of 14 AWG 100 mm apart 81 µH; N56: at 4.5 A 24 µs.
    (leg,) = describe_legs(study_layout(loose_bus()))
    assert leg.henry == pytest.approx(81e-6, rel=0.03)
    assert leg.notch_s == pytest.approx(24e-6, rel=0.05)


def sections(start: str) -> Layout:
    """Return four blocks of 10 m with 1 A in each, a drop to each from one bus."""
    base = small_line(length_m=40.0, drops=(5.0, 15.0, 25.0, 35.0))
    bus = replace(base.need(PartId("B1"), Bus), slack=0.0)
    if start == "middle":
        feed = replace(
            bus,
            id=PartId("B2"),
            points=(Point(x_mm=20e3, y_mm=-500.0), Point(x_mm=20e3, y_mm=-501.0)),
            end=ToBus(part=PartId("B1"), position_m=20.0),
        )
        bus = replace(bus, start=None)
        more: tuple[Part, ...] = (bus, feed)
    else:
        more = (bus,)
    gaps = tuple(
        Gap(
            id=PartId(f"G{i}"),
            on=OnRun(run=PartId("R1"), position_m=10.0 * i),
            rails="both",
        )
        for i in (1, 2, 3)
    )
    trains = tuple(train(i + 1, 5.0 + 10.0 * i, 1.0) for i in range(4))
    kept = (p for p in base.parts.values() if p.id != "B1")
    return layout_of(*kept, *more, *gaps, *trains)


@pytest.mark.parametrize(
    ("fed", "ampere_metres"),
    [
        # By Kirchhoff from an end: 4 A to 5 m, 3 A to 15 m, 2 A to 25 m, 1 A to 35 m.
        ("end", 4 * 5 + 3 * 10 + 2 * 10 + 1 * 10),
        # From its middle, either way: 2 A for 5 m, then 1 A for 10 m.
        ("middle", 2 * 5 + 1 * 10),
    ],
)
def test_the_notch_is_that_of_the_current_that_is_left(
    fed: str, ampere_metres: float
) -> None:
    # L·i summed along the bus, over 15 V; not the first stretch's amps to its end.
    legs = {leg.bus: leg for leg in describe_legs(study_layout(sections(fed)))}
    leg = legs[PartId("B1")]
    by_hand = leg.henry / leg.length_m * ampere_metres / 15.0
    assert leg.notch_s == pytest.approx(by_hand, rel=1e-6)


def test_n54_a_snubber_needs_more_than_half_a_watt() -> None:
    # needs.md N54: 0.1 µF at 15 V: 0.78 W at worst.
    (leg,) = describe_legs(study_layout(loose_bus()))
    assert leg.open_end
    assert leg.snubber_w == pytest.approx(0.776, abs=0.002)


def test_a_short_leg_needs_no_snubber() -> None:
    (leg,) = describe_legs(study_layout(small_line()))
    assert leg.snubber_w is None


def test_what_flows_into_a_dead_short_is_no_load_of_the_leg() -> None:
    # D2 turned round: tens of amperes run through the bus, none of them to a train.
    layout = small_line(
        replace(drop(2, 2.0), a_rail="right"), train(1, 3.0, 1.0), drops=(0.5,)
    )
    study = study_layout(layout)
    (leg,) = describe_legs(study)
    assert study.shorts
    assert max(w.amps_a for w in study.wires) > 10.0
    assert (leg.amps_a, leg.notch_s) == (0.0, 0.0)


def test_resistance_alone_makes_a_loose_bus_look_safe() -> None:
    # 15 V over 0.15 Ω of booster, 80 m of 14 AWG at 8.286 mΩ/m (0.663 Ω), drop and
    # rail: 17.8 A. In truth V·T/(2L) = 15 · 58 µs / (2 · 81 µH) = 5.4 A at the peak
    # and less on average, on a booster that trips at 5 A.
    study = study_layout(loose_bus())
    plain = track_values(study, PartId("R1"), "short_dc").values
    true = track_values(study, PartId("R1"), "short").values
    assert plain[-1] == pytest.approx(17.8 / 5.0, rel=0.08)
    assert true[-1] < 1.0
    weakest = study.weakest_short_dc
    assert weakest is not None
    assert weakest.value == pytest.approx(plain.min())


def test_the_weakest_shorts_are_places_that_a_builder_tells_apart() -> None:
    study = study_layout(loose_bus())
    weak = weakest_shorts(study, count=5)
    assert len(weak) == 5
    assert [w.margin for w in weak] == sorted(w.margin for w in weak)
    assert study.weakest_short == Extreme(weak[0].place, weak[0].margin)
    assert weak[0].sensed_a == pytest.approx(weak[0].margin * 5.0)
    # needs.md 3.6: 40 m of loose bus lets a fifth of the resistive current through.
    assert weak[0].limited_by == "inductance"
    at = sorted(w.place.position_m for w in weak)
    assert all(b - a >= 0.5 for a, b in pairwise(at))
