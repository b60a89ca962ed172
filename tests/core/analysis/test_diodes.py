"""Diode detectors: what loses, what blocks, and who says so.

Checks outside the program: sums by hand (beside each), the law of a diode pair asked
of random networks, and the simulator of Debian's package ngspice, with decks as
written and with diode cards put together here.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.analysis import settled
from core.analysis.diodes import Diodes
from core.analysis.examine import study_layout
from core.analysis.failure import rank_openings
from core.analysis.nodal import Nodal
from core.analysis.probe import find_point, probe_place
from core.analysis.selected import Pattern
from core.analysis.shorts import HALF_BITS
from core.analysis.study import Study
from core.analysis.system import build_system
from core.checks.run import run_checks
from core.errors import UnsettledError
from core.layout.ids import PartId
from core.layout.parts import (
    Bus,
    Drop,
    Inline,
    OnRun,
    Part,
    Point,
    Settings,
    ToBus,
    ToPort,
)
from core.network.circuit import BranchKind, Source, Stretch
from core.sheet.deck import deck_text
from tests.core.analysis.circuits import WIRE, bench
from tests.core.analysis.layouts import booster, layout_of, straight, train, watts
from tests.core.spice import run_deck

Find = Callable[[str], str]

PIECE_M = 100.0
"""Longer than the track: rails of one piece, without joints. [m]"""

RAIL = 0.076
"""Code 100 nickel silver, of one rail (needs.md 3.2). [Ω/m]"""


def place(at_m: float) -> OnRun:
    return OnRun(run=PartId("R1"), position_m=at_m)


def detector(number: int = 1, *, feed: str = "PB1", **more: object) -> Inline:
    found = Inline(
        id=PartId(f"OD{number}"),
        device="detector",
        x_mm=0.0,
        y_mm=-500.0,
        feed=ToPort(part=PartId(feed)),
        trip_a=None,
        drop_v=1.4,
    )
    return replace(found, **more)


def lead(number: int, at_m: float, to: str, lead_m: float = 0.3) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=place(at_m),
        to=ToPort(part=PartId(to)),
        lead_m=lead_m,
    )


def track(*parts: Part, length_m: float = 4.0, train_a: float = 1.0) -> Study:
    return study_layout(
        layout_of(
            Settings(test_train_a=train_a), straight(length_m, piece_m=PIECE_M), *parts
        )
    )


def beside(*more: Part, train_a: float = 1.0, drop_v: float = 1.4) -> Study:
    """Return 4 m of track fed at 4 m, and at 0 m to its left rail by a detector."""
    return track(
        booster(),
        detector(drop_v=drop_v),
        replace(lead(1, 0.0, "OD1"), rails="left"),
        lead(2, 4.0, "PB1"),
        *more,
        train_a=train_a,
    )


def ohm_of(study: Study, part: str, wires: str = "AB") -> float:
    """Return the resistance of a part's branches, one after the other. [Ω]"""
    branches = study.circuit.branches
    return sum(b.ohm for b in branches if b.part == part and b.wire in wires)


# One detector before all of it ------------------------------------------------------


@pytest.mark.parametrize("phase", [False, True])
@pytest.mark.parametrize("bus", [False, True])
@pytest.mark.parametrize("feed", [False, True])
def test_it_loses_its_drop_however_it_is_fed(
    *, phase: bool, bus: bool, feed: bool
) -> None:
    # By hand: 15.0 V − 1.4 V = 13.6 V for what begins to draw, whichever pole comes
    # in at the detector's A: nothing else loses anything at no current. A train of
    # 1 A then loses 1 A × the loop more; no current at all loses nothing.
    study = track(
        replace(booster(), reversed_phase=phase),
        Bus(
            id=PartId("B1"),
            points=(Point(x_mm=0.0, y_mm=-500.0), Point(x_mm=1000.0, y_mm=-500.0)),
            start=ToPort(part=PartId("PB1")),
            start_flipped=bus,
        ),
        replace(
            detector(), feed=ToBus(part=PartId("B1"), position_m=1.0), feed_flipped=feed
        ),
        lead(1, 0.5, "OD1"),
    )
    probe = probe_place(study, place(1.0))
    assert probe.source_v == pytest.approx(15.0, abs=1e-9)
    assert probe.standing_v == pytest.approx(13.6, abs=1e-9)
    assert probe.volts_v == pytest.approx(13.6 - probe.loop_ohm, abs=1e-9)
    assert probe.short_dc_a == pytest.approx(13.6 / probe.loop_ohm, rel=1e-9)
    lost = sum(row.volts_v for row in probe.breakdown)
    assert lost == pytest.approx(15.0 - probe.volts_v, abs=1e-9)
    device = next(row for row in probe.breakdown if row.kind == "breaker")
    assert device.volts_v == pytest.approx(1.4 + 0.03, abs=1e-9)


def test_two_in_a_row_lose_both_drops() -> None:
    # By hand: 15.0 − 0.7 − 1.4 = 12.9 V.
    study = track(
        booster(),
        detector(1, drop_v=0.7),
        detector(2, feed="OD1", feed_flipped=True),
        lead(1, 0.5, "OD2"),
    )
    assert probe_place(study, place(1.0)).standing_v == pytest.approx(12.9, abs=1e-9)


# A way round it ---------------------------------------------------------------------


def test_below_its_drop_nothing_goes_through() -> None:
    # By hand: without a train both ends of the detector lie at the booster's volts;
    # nothing flows, nothing is lost, and no device is overloaded.
    study = beside()
    assert np.abs(study.standing.amps).max() < 1e-9
    assert probe_place(study, place(0.0)).source_v == pytest.approx(15.0, abs=1e-9)
    assert "W403" not in {finding.code for finding in run_checks(study)}


def ways(study: Study) -> tuple[float, float, float]:
    """Return what `beside` has from booster to rails at 0 m by hand. [Ω]

    Common to both ways: inside the booster, and B back; A by drop 2 and 4 m of rail;
    A by the detector and drop 1.
    """
    rail = 4.0 * RAIL
    back, plain = ohm_of(study, "D2", "B"), ohm_of(study, "D2", "A")
    by_it = ohm_of(study, "OD1", "A") + ohm_of(study, "D1", "A")
    return 0.05 + rail + back, plain + rail, by_it


@pytest.mark.parametrize(("train_a", "conducts"), [(1.0, 0), (4.0, 0), (8.0, 1)])
def test_a_train_brings_it_to_conduct_where_its_drop_is_passed(
    train_a: float, conducts: int
) -> None:
    # By hand, train at 0 m: s is common, r the way round, q that by the detector.
    # While I·r < 1.4 V the detector carries nothing: 15 − I·(s + r). Above, it carries
    # x with x·q + 1.4 = (I − x)·r.
    study = beside(train_a=train_a)
    s, r, q = ways(study)
    assert (train_a * r > 1.4) == conducts
    x = conducts * (train_a * r - 1.4) / (r + q)
    probe = probe_place(study, place(0.0))
    by_hand = 15.0 - s * train_a - (train_a - x) * r
    assert probe.volts_v == pytest.approx(by_hand, abs=1e-9)
    assert study.worst_volts is not None
    assert study.worst_volts.value == pytest.approx(by_hand, abs=1e-9)
    lost = sum(row.volts_v for row in probe.breakdown)
    assert lost == pytest.approx(15.0 - by_hand, abs=1e-9)
    before = {flow.part: flow.amps_a for flow in probe.drops}
    assert before.get(PartId("D1"), 0.0) == pytest.approx(x, abs=1e-9)


def test_a_short_brings_it_to_conduct() -> None:
    # By hand, short at 0 m: 15 = s·I + (I − x)·r and x·q + 1.4 = (I − x)·r.
    study = beside()
    s, r, q = ways(study)
    by_hand = np.linalg.solve([[s + r, -r], [r, -(r + q)]], [15.0, 1.4])[0]
    probe = probe_place(study, place(0.0))
    assert probe.short_dc_a == pytest.approx(by_hand, rel=1e-9)
    assert study.scan.short_at(0, 0.0) == pytest.approx(by_hand, rel=1e-9)


def test_with_the_plain_way_open_the_detector_carries_on() -> None:
    # By hand, A of drop 2 open, train of 1 A anywhere: A comes by the detector and the
    # left rail up to the train, B goes back by the rest of the right one: 4 m in all.
    study = beside()
    q = ways(study)[2]
    openings = {(o.part, o.wire): o for o in rank_openings(study)}
    opened = openings[PartId("D2"), "A"]
    assert opened.dead_m == 0.0
    by_hand = 15.0 - 1.4 - (0.05 + q + 4.0 * RAIL + ohm_of(study, "D2", "B"))
    assert opened.volts_v == pytest.approx(by_hand, abs=1e-6)
    assert openings[PartId("D2"), "B"].dead_m == pytest.approx(4.0)


def test_of_two_side_by_side_the_smaller_drop_carries() -> None:
    # By hand: 1.4 V against 0.7 V: the second has to lose 0.7 V more before the first
    # carries anything, which 1 A through 0.03 Ω and a lead does not do.
    study = track(
        booster(),
        detector(1, drop_v=1.4),
        detector(2, drop_v=0.7),
        replace(lead(1, 1.0, "OD1"), rails="left"),
        lead(2, 1.0, "OD2"),
        train(1, 1.0, 1.0),
    )
    amps = {d.part: d.amps_a for d in study.devices}
    assert amps == pytest.approx({"OD1": 0.0, "OD2": 1.0}, abs=1e-9)
    volts = 15.0 - 0.7 - 1.0 * (0.05 + ohm_of(study, "OD2") + ohm_of(study, "D2"))
    found = probe_place(study, place(1.0))
    assert found.standing_v == pytest.approx(volts, abs=1e-9)


def test_two_alike_side_by_side_share() -> None:
    # By hand: the same drop and the same wire both ways, half of 3 A each.
    study = track(
        booster(),
        detector(1),
        detector(2),
        lead(1, 1.0, "OD1"),
        lead(2, 1.0, "OD2"),
        train(1, 1.0, 3.0),
    )
    amps = {d.part: d.amps_a for d in study.devices}
    assert amps == pytest.approx({"OD1": 1.5, "OD2": 1.5}, abs=1e-9)


def test_a_load_of_watts_is_fed_by_what_it_brings_to_conduct() -> None:
    # By hand: through 6 Ω alone 15 V give at most 15² / 24 = 9.4 W; past the drop the
    # detector gives what it asks: u·i = 20 W, u = 15 − s·i − (i − x)·r, with
    # x·q + 1.4 = (i − x)·r carried by the detector, B common to both.
    thin = 6.0
    study = watts_beside(20.0, thin)
    assert study.starved == ()
    s = 0.05 + ohm_of(study, "F1", "B") + ohm_of(study, "D2", "B")
    q = ohm_of(study, "OD1", "A") + ohm_of(study, "D1", "A")
    r = ohm_of(study, "F1", "A") + ohm_of(study, "D2", "A")
    amps, volts = float(study.drawn.amps[0]), 20.0 / float(study.drawn.amps[0])
    x = (amps * r - 1.4) / (r + q)
    assert x > 0.0
    assert volts == pytest.approx(15.0 - s * amps - (amps - x) * r, abs=1e-6)


def watts_beside(load_w: float, thin_ohm: float) -> Study:
    """Return a load fed through so many ohms, and through a detector beside them."""
    return track(
        booster(),
        detector(),
        replace(detector(2), id=PartId("F1"), drop_v=0.0, series_ohm=thin_ohm),
        replace(lead(1, 1.0, "OD1"), rails="left"),
        lead(2, 1.0, "F1"),
        watts(1, 1.0, load_w),
    )


# The law, asked of any network ------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_the_law_of_a_pair_holds_in_any_network(seed: int) -> None:
    # No current where less than the drop stands across a pair; the drop against the
    # current where there is one. The currents of such a network are unique, so that
    # an answer that keeps the law is the answer.
    rng = np.random.default_rng(seed)
    nodes = int(rng.integers(4, 9))
    ends = [(i, i + 1) for i in range(nodes - 1)]
    for _ in range(nodes):
        a, b = rng.choice(nodes, 2, replace=False).tolist()
        ends.append((a, b))
    drops = np.where(rng.random(len(ends)) < 0.4, rng.choice([0.7, 1.4]), 0.0)
    drops[-1] = 1.4
    made = bench(nodes)
    for (a, b), drop in zip(ends, drops.tolist(), strict=True):
        ohm = float(10.0 ** rng.uniform(-2.0, 1.0))
        kind = BranchKind.DEVICE if drop else BranchKind.RAIL
        made.connect(kind, (a, b), ohm, of=Stretch(WIRE), emf_v=drop)
    made.sources.append(Source(0, nodes - 1, 15.0, 0.05, PartId("PB1")))
    system = build_system(made.finish())
    pushed = np.zeros(system.size)
    pushed[rng.integers(system.size)] = -rng.uniform(0.0, 5.0)
    nodal = Nodal(system)
    diodes = Diodes(system, nodal)
    free = nodal.solve(pushed)
    state = diodes.settle(free.amps[diodes.edges], np.zeros(len(diodes.edges)))
    held = np.zeros(len(system.ohm))
    held[diodes.edges] = state.volts
    solved = nodal.solve(pushed, drop=held)
    assert solved.residual < 1e-9
    amps, volts = solved.amps[diodes.edges], state.volts
    limit = diodes.drops
    assert (np.abs(volts) <= limit + 1e-9).all()
    passes = np.abs(amps) > 1e-6
    assert volts[passes] == pytest.approx(np.sign(amps[passes]) * limit[passes])
    out = Nodal(diodes.hold(state)).solve(pushed)
    assert out.volts == pytest.approx(solved.volts, abs=1e-9)


# Against the simulator --------------------------------------------------------------


def crossed_and_beside() -> Study:
    """Return detectors of every kind in one layout, some blocked, some reversed."""
    return track(
        booster(),
        detector(1, feed_flipped=True),
        detector(2, drop_v=0.7),
        detector(3, feed="OD2"),
        replace(lead(1, 0.5, "OD1"), a_rail="right"),
        lead(2, 1.5, "OD2"),
        lead(3, 2.5, "OD3"),
        lead(4, 3.5, "PB1"),
        train(1, 1.0, 4.0),
        train(2, 3.0, 1.0),
        train_a=12.0,
    )


DECKS: dict[str, Callable[[], Study]] = {
    "beside": lambda: beside(train(1, 1.0, 1.0)),
    "beside, heavy": lambda: beside(train(1, 1.0, 12.0)),
    "every kind": crossed_and_beside,
    "watts": lambda: watts_beside(20.0, 6.0),
    "idle": lambda: track(booster(), detector(), lead(1, 0.5, "OD1")),
}


@pytest.mark.parametrize("name", DECKS)
def test_the_simulator_settles_the_same(name: str, tool: Find, tmp_path: Path) -> None:
    study = DECKS[name]()
    found = run_deck(tool("ngspice"), deck_text(study), "op", tmp_path)
    for i, node in enumerate(study.circuit.nodes):
        if study.system.islands.live[i]:
            simulated = found[f"v({node.name})".lower()][0].real
            assert simulated == pytest.approx(study.standing.volts[i], abs=5e-6)


@pytest.mark.parametrize(
    ("name", "at_m"),
    [("beside", 0.0), ("beside", 4.0), *(("every kind", x + 0.5) for x in range(4))],
)
def test_the_simulator_brings_the_same_ones_to_conduct(
    name: str, at_m: float, tool: Find, tmp_path: Path
) -> None:
    # The test train as one more current in the deck, then a coin of 1 nΩ without any
    # load: volts and short current as the probe says.
    study = DECKS[name]()
    probe = probe_place(study, place(at_m))
    left, right = rails_at(study, at_m)
    deck = deck_text(study).splitlines()
    amps = study.scan.train_a
    lines = [*deck, f"Iask {left} {right} {amps!r}"]
    found = run_deck(tool("ngspice"), "\n".join(lines), "op", tmp_path)
    volts = (found[f"v({left})"] - found[f"v({right})"])[0].real
    assert volts == pytest.approx(probe.volts_v, abs=5e-6)
    bare = [line for line in deck if not line.startswith("Iload")]
    coin = [*bare, f"Vcoin {left} coinend 0", f"Rcoin coinend {right} 1e-9"]
    found = run_deck(tool("ngspice"), "\n".join(coin), "op", tmp_path)
    short = found["i(vcoin)"][0].real
    assert short == pytest.approx(probe.short_dc_a, rel=1e-6)


def rails_at(study: Study, at_m: float) -> tuple[str, str]:
    """Return the nodes of the two rails at a place where something hangs."""
    point = find_point(study, place(at_m))
    segment = study.circuit.segments[point.segment]
    assert point.t in (0.0, 1.0)
    ends = (
        (segment.left1, segment.right1) if point.t else (segment.left0, segment.right0)
    )
    left, right = (study.circuit.nodes[i].name.lower() for i in ends)
    return left, right


def test_diode_cards_agree(tool: Find, tmp_path: Path) -> None:
    # A deck put together here, with diodes as the simulator has them (N = 10⁻³: under
    # 1 mV steep) behind sources of 1.4 V, both ways round: the track of `beside`, 8 A
    # drawn at 0 m.
    study = beside(train_a=8.0)
    s, r, q = ways(study)
    deck = f"""diodes
Vb a 0 15
Rb a b {s!r}
Rq b c {q!r}
Vf c f 1.4
Df f t real
Vr t r 1.4
Dr r c real
Rr b t {r!r}
It t 0 8
.model real D(IS=1e-12 N=1e-3)
"""
    found = run_deck(tool("ngspice"), deck, "op", tmp_path)
    probe = probe_place(study, place(0.0))
    assert found["v(t)"][0].real == pytest.approx(probe.volts_v, abs=2e-3)
    assert found["v(b)"][0].real - 8.0 * r < probe.volts_v - 0.5  # it does conduct


@pytest.mark.parametrize(
    ("length_m", "lay", "most"), [(12.0, "twisted", 1.04), (40.0, "apart", 1.08)]
)
def test_a_short_in_time_is_hardly_more_than_is_told(
    length_m: float,
    lay: Literal["twisted", "apart"],
    most: float,
    tool: Find,
    tmp_path: Path,
) -> None:
    # A coin of 1 µΩ behind 1.4 V and a bus, ones of ±15 V with 10 ns edges, after 39 of
    # them. The simulator's drop turns with the current, ours with the wave.
    study = track(
        booster(),
        detector(),
        Bus(
            id=PartId("B1"),
            points=(
                Point(x_mm=0.0, y_mm=-500.0),
                Point(x_mm=length_m * 1e3, y_mm=-500.0),
            ),
            start=ToPort(part=PartId("OD1")),
            lay=lay,
            spacing_mm=100.0,
        ),
        replace(
            lead(1, length_m, "B1"), to=ToBus(part=PartId("B1"), position_m=length_m)
        ),
        length_m=length_m,
    )
    left, right = rails_at(study, length_m)
    half = HALF_BITS[0]
    wave = f"pulse(-15 15 0 10n 10n {half - 10e-9!r} {2 * half!r})"
    deck = [
        line.rpartition(" ")[0] + f" {wave}" if line.startswith("Vsupply") else line
        for line in deck_text(study).splitlines()
    ]
    deck += [f"Vcoin {left} coinend 0", f"Rcoin coinend {right} 1e-6"]
    run = f"tran 50n {80 * half!r} {78 * half!r} 50n"
    found = run_deck(tool("ngspice"), "\n".join(deck), run, tmp_path)
    time, amps = found["time"].real, found["i(vcoin)"].real
    span = time[-1] - time[0]
    rms = float(np.sqrt(np.trapezoid(amps**2, time) / span))
    mean = float(np.trapezoid(np.abs(amps), time) / span)
    probe = probe_place(study, place(length_m))
    assert probe.short_rms_ones_a is not None
    assert probe.short_mean_ones_a is not None
    assert 1.01 < rms / probe.short_rms_ones_a < most
    assert 1.01 < mean / probe.short_mean_ones_a < most


# Bounds and cost --------------------------------------------------------------------


def test_what_does_not_settle_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settled, "MOST_ROUNDS", 1)
    with pytest.raises(UnsettledError, match="OD1"):
        track(booster(), detector(), lead(1, 0.5, "OD1"), train(1, 1.0, 1.0))


def test_the_usual_case_is_factorized_as_often_as_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Once for the steady state and once for the scan, with detectors or without.
    counted: list[str] = []

    def count(of: type, name: str) -> None:
        whole = getattr(of, name)

        def counting(*args: object, **more: object) -> object:
            counted.append(name)
            return whole(*args, **more)

        monkeypatch.setattr(of, name, counting)

    count(Pattern, "factor")
    count(Nodal, "__init__")
    for drop_v in (0.0, 1.4):
        counted.clear()
        track(booster(), detector(drop_v=drop_v), lead(1, 0.5, "OD1"))
        assert sorted(counted) == ["__init__", "factor"]
