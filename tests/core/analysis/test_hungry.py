"""Loads of constant watts while the test train moves: against solving anew."""

import numpy as np
import pytest
from msgspec.structs import replace

from core.analysis.along import track_values
from core.analysis.bands import band_at
from core.analysis.breakdown import unit_response
from core.analysis.examine import study_layout
from core.analysis.loads import starved_by
from core.analysis.probe import find_point, probe_place
from core.analysis.study import Study
from core.checks.rules import below_floor, lost_volts, starved_load
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Load, OnRun, Settings
from tests.core.analysis.layouts import (
    booster,
    drop,
    layout_of,
    straight,
    straight_bus,
    watts,
)

ENDS = pytest.mark.parametrize(("load_w", "train_a"), [(20.0, 3.0), (25.0, 2.0)])


def line(train_a: float, *more: Load, floor_v: float = 0.0) -> Layout:
    """Return 8 m of track fed at one end, with a test train and loads."""
    settings = Settings(test_train_a=train_a)
    limits = replace(settings.limits, floor_v=floor_v)
    return layout_of(
        replace(settings, limits=limits),
        straight(8.0),
        booster(),
        straight_bus(8.0),
        drop(1, 0.5),
        *more,
    )


def on(position_m: float) -> OnRun:
    return OnRun(run=PartId("R1"), position_m=position_m)


def solved_anew(layout: Layout, position_m: float, train_a: float) -> float:
    """Return volts at a place with the train as one more placed load of amps.

    The second way: the program's own standing solution of another layout, checked
    by hand and against ngspice in its own tests.
    """
    train = Load(id=PartId("L9"), on=on(position_m), amps_a=train_a)
    study = study_layout(Layout({**layout.parts, train.id: train}))
    assert study.starved == ()
    return probe_place(study, on(position_m)).standing_v


def by_hand(load_w: float, train_a: float) -> float:
    """Return volts at the open end, load and train at one place there.

    One path of R = loop: V − R·(T + P/u) = u, so u² − (V − R·T)·u + R·P = 0.
    """
    study = study_layout(line(train_a))
    ohm = study.scan.loop_at(len(study.circuit.segments) - 1, 1.0)
    left = 15.0 - ohm * train_a
    return float((left + np.sqrt(left**2 - 4.0 * ohm * load_w)) / 2.0)


@ENDS
def test_worst_volts_are_those_of_the_upper_root(load_w: float, train_a: float) -> None:
    # With the load held at what it drew standing, 20 W and 3 A would read 9.08 V.
    layout = line(train_a, watts(1, 8.0, load_w))
    worst = study_layout(layout).worst_volts
    assert worst is not None
    assert worst.place.position_m == pytest.approx(8.0)
    assert worst.value == pytest.approx(by_hand(load_w, train_a), rel=1e-7)


@ENDS
def test_every_place_is_as_solved_anew(load_w: float, train_a: float) -> None:
    layout = line(train_a, watts(1, 7.9, load_w), watts(2, 3.1, 8.0))
    study = study_layout(layout)
    for position in (0.2, 1.0, 3.1, 5.4, 7.9, 8.0):
        found = probe_place(study, on(position)).volts_v
        assert found == pytest.approx(solved_anew(layout, position, train_a), rel=1e-6)


def test_the_map_says_the_same_as_the_probe() -> None:
    study = study_layout(line(3.0, watts(1, 7.9, 20.0), watts(2, 3.1, 8.0)))
    values = track_values(study, PartId("R1"), "volts")
    assert study.worst_volts is not None
    assert values.values.min() == pytest.approx(study.worst_volts.value, rel=1e-9)
    for i in range(3, len(values.positions_m), 11):
        found = probe_place(study, on(float(values.positions_m[i]))).volts_v
        assert values.values[i] == pytest.approx(found, rel=1e-6)


def test_the_first_order_errs_as_its_docstring_says() -> None:
    scan = study_layout(line(3.0, watts(1, 7.9, 20.0))).scan
    assert scan.hungry is not None
    held = scan.standing1[-1] - 3.0 * scan.loop1[-1]
    assert held == pytest.approx(9.08, abs=0.005)
    assert held - 3.0 * scan.hungry.loops()[2][-1] == pytest.approx(8.37, abs=0.005)
    assert scan.volts_at(len(scan.fed) - 1, 1.0) == pytest.approx(7.74, abs=0.005)


def test_the_breakdown_still_adds_up() -> None:
    study = study_layout(line(3.0, watts(1, 7.9, 20.0), watts(2, 3.1, 8.0)))
    probe = probe_place(study, on(6.3))
    lost = sum(loss.volts_v for loss in probe.breakdown)
    assert lost == pytest.approx(probe.source_v - probe.volts_v, abs=1e-8)


def test_the_booster_gives_what_load_and_train_draw_then() -> None:
    study = study_layout(line(3.0, watts(1, 8.0, 20.0)))
    booster_a = probe_place(study, on(8.0)).devices[0].amps_a
    assert booster_a == pytest.approx(3.0 + 20.0 / by_hand(20.0, 3.0), rel=1e-6)


def test_bands_know_that_the_load_answers() -> None:
    # The one path again: du/dR of the root above, by every branch alike.
    layout = line(2.0, watts(1, 8.0, 20.0))
    study = study_layout(layout)
    point = find_point(study, on(8.0))
    band = band_at(study, point, unit_response(study, point))
    volts = study.scan.volts_at(point.segment, point.t)
    ohm = study.scan.loop_at(point.segment, point.t)
    by_ohm = -(2.0 + 20.0 / volts) / (1.0 - ohm * 20.0 / volts**2)
    assert band.volts_low_v - volts == pytest.approx(
        by_ohm * (band.loop_high_ohm - ohm), rel=1e-6
    )


def starving() -> Study:
    # 30 W at the end: with 2 A more u² − 10.1·u + 1.3·30 … has no root (V²/4R, N10).
    return study_layout(line(2.0, watts(1, 8.0, 30.0), floor_v=7.0))


def test_a_train_that_starves_a_load_is_told_by_name() -> None:
    study = starving()
    probe = probe_place(study, on(8.0))
    assert [one.part for one in probe.starves] == ["L1"]
    assert (probe.volts_v, probe.drop_verdict, probe.breakdown) == (0.0, "poor", ())
    assert "A 2.00 A train here starves L1" in probe.sentence
    assert probe_place(study, on(0.5)).starves == ()


def test_what_a_starved_load_can_have_is_v_squared_over_4r() -> None:
    # N10 by hand: open volts there are 15 − 2·R, so (15 − 2·R)²/(4·R) is the most.
    study = starving()
    ohm = study.scan.loop_at(len(study.circuit.segments) - 1, 1.0)
    most = (15.0 - 2.0 * ohm) ** 2 / (4.0 * ohm)
    assert most < 30.0 < 15.0**2 / (4.0 * ohm)
    one = probe_place(study, on(8.0)).starves[0]
    assert one.most_w == pytest.approx(most, rel=1e-6)
    assert one.alone_w == pytest.approx(most, rel=1e-6)


def test_where_the_train_starves_a_load_the_place_is_the_worst_of_all() -> None:
    study = starving()
    assert study.worst_volts is not None
    assert study.worst_volts.value == 0.0


def test_one_rule_tells_of_it() -> None:
    study = starving()
    found = list(starved_load.RULE.check(study))
    assert [(f.parts[0], "2.00 A more drawn" in f.sentence) for f in found] == [
        ("L1", True)
    ]
    for rule in (below_floor.RULE, lost_volts.RULE):
        for other in rule.check(study):
            assert other.place is not None
            assert probe_place(study, other.place).starves == ()


def test_just_fed_is_no_finding() -> None:
    # As above by hand: a hundredth below the most is fed, a hundredth above is not.
    ohm = starving().scan.loop1[-1]
    most = (15.0 - 2.0 * ohm) ** 2 / (4.0 * ohm)
    for share, count in ((0.99, 0), (1.01, 1)):
        study = study_layout(line(2.0, watts(1, 8.0, share * most)))
        assert len(list(starved_load.RULE.check(study))) == count


def test_a_train_that_takes_all_volts_leaves_none_to_a_load() -> None:
    study = study_layout(line(2.0, watts(1, 8.0, 5.0)))
    assert study.scan.hungry is not None
    small = study.scan.hungry.small
    found = starved_by(study.system, small, np.array([20.0]))
    assert found[0].most_w == pytest.approx(0.0, abs=1e-9)


def test_many_loads_near_the_edge_agree_with_solving_anew() -> None:
    rng = np.random.default_rng(7)
    for _ in range(6):
        places, asked = rng.uniform(0.5, 7.9, 4), rng.uniform(3.0, 9.0, 4)
        loads = [watts(i + 1, float(places[i]), float(asked[i])) for i in range(4)]
        layout = line(1.5, *loads)
        study = study_layout(layout)
        probe = probe_place(study, on(7.95))
        if not probe.starves and not study.starved:
            again = solved_anew(layout, 7.95, 1.5)
            assert probe.volts_v == pytest.approx(again, rel=1e-6)
