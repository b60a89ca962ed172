"""Lamp limiters: by hand, against ngspice with a nonlinear source, and their limits.

Outside checks: the circuit simulator of Debian's package ngspice, whose B source
follows the lamp's law by itself; sums by hand beside the rest.
"""

import re
from collections.abc import Callable
from math import sqrt, tanh
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.lamps import find_lamps
from core.analysis.limiters import find_limiters
from core.analysis.probe import find_point, probe_place
from core.analysis.study import Case, Probe, Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, OnRun, Part, Settings, ToBus, ToPort
from core.sheet.deck import deck_text
from tests.core.analysis.layouts import (
    booster,
    breaker,
    drop,
    layout_of,
    straight,
    straight_bus,
    train,
    watts,
)
from tests.core.spice import run_deck

Find = Callable[[str], str]

SLOW = {"trip_s": 0.5}
"""A booster that waits for the lamp."""

BEYOND_LAMP = 0.03 + 0.05
"""The lamp's holder and the booster's inside, as they come. [Ω]"""


def lamp(**fields: Any) -> Inline:
    usual = Inline(
        id=PartId("LL1"),
        device="lamp",
        x_mm=0.0,
        y_mm=-500.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
    )
    return replace(usual, **fields)


def lit_line(
    *more: Part, source: dict[str, Any] | None = None, **fields: Any
) -> Layout:
    """Return 4 m of track with three drops, all behind a car lamp of 12.8 V, 2.1 A."""
    return layout_of(
        Settings(),
        straight(4.0),
        replace(booster(), **(source or SLOW)),
        lamp(**fields),
        straight_bus(4.0, to="LL1"),
        *(drop(n + 1, at) for n, at in enumerate((0.5, 2.0, 3.5))),
        *more,
    )


def at(position_m: float) -> OnRun:
    return OnRun(run=PartId("R1"), position_m=position_m)


def probed(layout: Layout, position_m: float = 0.5) -> Probe:
    return probe_place(study_layout(layout), at(position_m))


# needs.md N33 -------------------------------------------------------------------------


def test_n33_a_short_is_held_near_two_amperes() -> None:
    # needs.md N33: a lamp of 12.8 V 2.1 A holds a short near 2.2 A, about 33 W in it
    # at 15 V. By hand: at 2.27 A it takes 12.8 · (2.27/2.1)^(1/0.55) = 14.75 V, and
    # 0.11 Ω of booster, holder, wire and rail 0.25 V: 15 V together. 2.27 · 14.75 =
    # 33.5 W.
    found = probed(lit_line())
    assert found.held_by == "LL1"
    assert found.held_a == pytest.approx(2.2, rel=0.10)
    assert found.held_a == pytest.approx(2.27, rel=0.005)
    assert found.held_w == pytest.approx(33.0, rel=0.10)
    assert found.short_dc_a == pytest.approx(2.27, rel=0.005)


def test_n33_the_booster_stays_on_only_if_it_waits_a_quarter_second() -> None:
    waits, hurries = (probed(lit_line(source={"trip_s": s})) for s in (0.26, 0.24))
    assert not any(racer.trips for racer in waits.race)
    assert waits.short_verdict == "good"
    assert [racer.part for racer in hurries.race if racer.trips] == ["PB1"]
    assert hurries.short_verdict == "tolerable"


def test_n33_what_the_lamp_costs_at_one_ampere() -> None:
    # By hand: 12.8 V · (1/2.1)^(1/0.55) = 12.8 · 0.2595 = 3.32 V.
    (found,) = find_limiters(study_layout(lit_line()))
    assert found.loss_1a_v == pytest.approx(3.32, abs=0.005)
    (lost,) = (x for x in probed(lit_line()).breakdown if x.kind == "breaker")
    assert lost.volts_v == pytest.approx(3.32 + 0.03, abs=0.005)  # with its holder


def test_cold_it_lets_a_surge_through() -> None:
    # By hand: cold 12.8/2.1/12 = 0.508 Ω; with 0.08 of booster and holder and the
    # loop of bus, drop and rail 15 V drive some 20 A, as the square wave rounds it.
    found = probed(lit_line())
    assert found.surge_a is not None
    assert 15.0 < found.surge_a < 15.0 / (0.508 + BEYOND_LAMP)


# The operating point --------------------------------------------------------------------


@pytest.mark.parametrize("amps", [0.4, 1.0, 2.0])
def test_volts_with_a_train_behind_it_are_by_its_own_law(amps: float) -> None:
    study = study_layout(lit_line(), Case(test_train_a=amps))
    (found,) = find_lamps(study.layout, study.circuit)
    by_hand = 12.8 / 2.1 * (amps / 2.1) ** (1.0 / 0.55 - 1.0)
    assert found.ohm == pytest.approx(by_hand, rel=1e-6)


def test_standing_loads_warm_it_too() -> None:
    # 0.7 A standing and 1 A of the train: 1.7 A in all.
    study = study_layout(lit_line(train(1, 3.0, 0.7)))
    (found,) = find_limiters(study)
    assert found.train_a == pytest.approx(1.7, rel=1e-6)
    by_hand = 12.8 * (1.7 / 2.1) ** (1.0 / 0.55)
    assert found.loss_v == pytest.approx(by_hand, rel=1e-6)


def test_loads_of_constant_watts_settle_with_it() -> None:
    study = study_layout(lit_line(watts(1, 2.0, 6.0)), Case(test_train_a=0.0))
    (found,) = find_lamps(study.layout, study.circuit)
    amps = float(study.drawn.amps[0])
    assert found.ohm == pytest.approx(found.filament.ohm_at(amps), rel=1e-5)
    # The watts are drawn at the volts that are left: U·I = 6 W, to a part in 10⁴.
    left = study.scan.standing_at(find_point(study, at(2.0)).segment, 1.0)
    assert amps * left == pytest.approx(6.0, rel=0.01)


def test_a_lamp_is_made_for_its_own_rating() -> None:
    (duty,) = study_layout(lit_line(train(1, 3.0, 2.2))).devices
    assert duty.amps_a == pytest.approx(2.2, rel=1e-6)
    assert duty.rated_a == 2.1


def test_no_power_no_lamp() -> None:
    study = study_layout(lit_line(feed=None))
    assert find_limiters(study) == ()
    assert not study.scan.fed.any()


def test_inductance_cools_it_a_little() -> None:
    # 40 m of bus apart by 100 mm: some 80 µH beside the lamp. Outside check: one R and
    # one L under a square wave, Irms = (V/R)·√(1 − (2τ/T)·tanh(T/2τ)), τ = L/R, with
    # the filament as hot as just that current makes it, by halving.
    far = replace(straight_bus(40.0, to="LL1"), lay="apart", spacing_mm=100.0)
    end = replace(drop(1, 0.5), to=ToBus(part=far.id, position_m=40.0))
    layout = layout_of(
        Settings(), straight(1.0), replace(booster(), **SLOW), lamp(), far, end
    )
    study = study_layout(layout)
    found = probe_place(study, at(0.5))
    (own,) = find_lamps(layout, study.circuit)
    rest, henry = found.loop_ohm - own.ohm, found.loop_henry

    def rms(amps: float) -> float:
        ohm: float = rest + 12.8 / 2.1 * (amps / 2.1) ** (1.0 / 0.55 - 1.0)
        tau = henry / ohm
        share = 1.0 - 2.0 * tau / 58e-6 * tanh(58e-6 / 2.0 / tau)
        return 15.0 / ohm * sqrt(share)

    low, high = 0.5, 4.0
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if rms(middle) > middle else (low, middle)
    assert found.held_a is not None
    assert found.held_a == pytest.approx(low, rel=2e-3)
    assert found.held_a < 0.97 * found.short_dc_a


# What it holds, and what not --------------------------------------------------------------


def test_behind_a_lamp_nothing_has_to_trip() -> None:
    study = study_layout(lit_line())
    assert study.weakest_short is None
    assert study.weakest_short_dc is None
    guards = {by.part for by in study.clearing if by is not None}
    assert guards == {"LL1"}


def test_another_way_round_it_and_it_holds_nothing() -> None:
    # A fourth drop straight from the booster: the short goes that way.
    round_it = replace(drop(4, 3.9), to=ToPort(part=PartId("PB1")))
    study = study_layout(lit_line(round_it))
    assert not any(study.lamps)
    assert probe_place(study, at(3.9)).held_by is None
    (found,) = find_limiters(study)
    assert found.held is None
    assert found.feeds


def test_a_breaker_behind_it_that_trips_on_less_counts() -> None:
    # A 1.5 A breaker behind a lamp that lets 2.3 A through: the breaker trips.
    weak = breaker(1, trip_a=1.5, feed="LL1")
    parts = [
        replace(p, start=ToPort(part=weak.id)) if p.id == "B1" else p
        for p in lit_line().parts.values()
    ]
    study = study_layout(layout_of(*parts, weak))
    found = probe_place(study, at(0.5))
    assert found.held_by is None
    assert found.cleared_by == "CB1"
    # 2.27 A of 1.5 A, averaged by the wave that inductance rounds a little.
    assert found.margin == pytest.approx(2.27 / 1.5, rel=0.02)


def test_a_breaker_behind_it_that_wants_more_never_trips() -> None:
    strong = breaker(1, trip_a=4.0, feed="LL1")
    parts = [
        replace(p, start=ToPort(part=strong.id)) if p.id == "B1" else p
        for p in lit_line().parts.values()
    ]
    study = study_layout(layout_of(*parts, replace(strong, trip_s=0.5)))
    assert probe_place(study, at(0.5)).held_by == "LL1"


def test_thin_wire_behind_it_need_only_carry_what_it_lets_through() -> None:
    # 0.14 mm² stands 1.5 A: too little for 2.28 A; 0.25 mm² stands 4 A (wire table).
    thin = [
        replace(p, wire="0.14mm2-hookup") if p.id == "D2" else p
        for p in lit_line().parts.values()
    ]
    duties = {w.part: w for w in study_layout(layout_of(*thin)).wires}
    by = duties[PartId("D2")].by
    assert by is not None
    assert by.part == "LL1"
    assert by.trip_a == pytest.approx(2.28, abs=0.02)  # at its own terminals
    assert by.trip_a > duties[PartId("D2")].rated_a


def test_a_bad_contact_behind_it_gets_what_the_lamp_leaves() -> None:
    # By hand, lamp and 0.1 Ω against a contact: (15 − 0.1·I − 12.8·(I/2.1)^1.818)·I
    # at 1.22 A: (15 − 0.12 − 4.77) · 1.22 = 12.3 W, the top.
    assert probed(lit_line()).lazy_w == pytest.approx(12.3, rel=0.02)


def test_another_lamp_in_front_adds_up() -> None:
    # Two alike in a row: half of the volts each, 2.1 · (7.5/12.8)^0.55 = 1.57 A.
    second = lamp(id=PartId("LL2"), feed=ToPort(part=PartId("LL1")))
    parts = [
        replace(p, start=ToPort(part=second.id)) if p.id == "B1" else p
        for p in lit_line().parts.values()
    ]
    assert probed(layout_of(*parts, second)).held_a == pytest.approx(1.55, rel=0.02)


# ngspice ----------------------------------------------------------------------------------


def with_law(study: Study) -> str:
    """Return the deck with the lamp's own law in place of its resistor."""
    (own,) = find_lamps(study.layout, study.circuit)
    branch = study.circuit.branches[own.branch]
    here, there = (study.circuit.nodes[n].name for n in (branch.tail, branch.head))
    holder = branch.ohm - own.ohm
    law = (
        f"Blamp lit {there} I=min(V(lit,{there})/{12.8 / 2.1 / 12.0!r}, "
        f"2.1*((abs(V(lit,{there}))+1e-9)/12.8)**0.55)\n"
        f"Rholder {here} lit {holder!r}"
    )
    deck, count = re.subn(
        rf"^R{own.branch} .*$", law, deck_text(study), flags=re.MULTILINE
    )
    assert count == 1
    return deck


@pytest.mark.parametrize("position_m", [0.5, 2.0])
def test_a_short_is_what_the_simulator_finds(
    position_m: float, tool: Find, tmp_path: Path
) -> None:
    study = study_layout(lit_line())
    point = find_point(study, at(position_m))
    segment = study.circuit.segments[point.segment]
    assert point.t == pytest.approx(1.0)
    left, right = (study.circuit.nodes[n].name for n in (segment.left1, segment.right1))
    deck = with_law(study).replace(".op\n", f"Vcoin {left} {right} 0\n.op\n")
    found = run_deck(tool("ngspice"), deck, "op", tmp_path)
    assert abs(found["i(vcoin)"][0].real) == pytest.approx(
        study.plain_short_at(point.segment, point.t), rel=1e-4
    )


def test_volts_under_a_train_are_what_the_simulator_finds(
    tool: Find, tmp_path: Path
) -> None:
    study = study_layout(lit_line(train(1, 3.0, 0.7)))
    point = find_point(study, at(2.0))
    segment = study.circuit.segments[point.segment]
    left, right = (study.circuit.nodes[n].name for n in (segment.left1, segment.right1))
    deck = with_law(study).replace(".op\n", f"Itrain {left} {right} 1.0\n.op\n")
    found = run_deck(tool("ngspice"), deck, "op", tmp_path)
    volts = (found[f"v({left})".lower()] - found[f"v({right})".lower()])[0].real
    assert study.scan.volts_at(point.segment, point.t) == pytest.approx(volts, rel=1e-5)


def test_a_layout_without_lamps_is_left_as_it_is() -> None:
    parts = [p for p in lit_line().parts.values() if p.id not in ("LL1", "B1")]
    study = study_layout(layout_of(*parts, straight_bus(4.0)))
    assert not any(study.lamps)
    where = np.array([0]), np.array([0.5])
    hot, cold = study.shorts_at(*where), study.shorts_at(*where, cold=True)
    assert hot.rms_ones == pytest.approx(cold.rms_ones)
