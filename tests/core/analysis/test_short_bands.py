"""Bands of true shorts and margins: against solving anew at the ends of the bands."""

from dataclasses import replace

import msgspec
import numpy as np
import pytest

from core.analysis.bands import band_at
from core.analysis.breakdown import Point, unit_response
from core.analysis.examine import study_layout
from core.analysis.probe import find_point, probe_place
from core.analysis.short_bands import margin_bands, short_bands
from core.analysis.shorts import short_currents, solve_waves
from core.analysis.study import Study
from core.analysis.system import build_pattern, build_system, fill_pattern
from core.analysis.weak import weakest_shorts
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, OnRun
from core.network.circuit import BranchKind
from tests.core.analysis.layouts import oval, small_line, train

FIRST_ORDER = 0.016
"""Solving anew may differ by so much: the second order of the resistances. [1]"""


def loose(length_m: float = 20.0) -> Layout:
    """Return a line whose bus lies apart: inductance counts as much as resistance."""
    layout = small_line(length_m=length_m, drops=(1.0, 9.0, 19.0))
    bus = layout.need(PartId("B1"), Bus)
    apart = msgspec.structs.replace(bus, lay="apart", spacing_mm=80.0)
    return Layout({**layout.parts, bus.id: apart})


def moved(study: Study, which: int, kind: BranchKind | None = None) -> Study:
    """Return the study with every resistance, or one kind, at an end of its band.

    Segments hold their rails' ohms too. The sums are built anew, by the solver that
    `test_against_spice` holds against ngspice.
    """
    circuit = study.circuit
    branches = tuple(
        msgspec.structs.replace(b, ohm=b.ohm * b.spread[which])
        if kind in (None, b.kind)
        else b
        for b in circuit.branches
    )
    between = circuit.rail_between
    segments = tuple(
        msgspec.structs.replace(
            s,
            ohm_left=branches[between[s.left0, s.left1]].ohm,
            ohm_right=branches[between[s.right0, s.right1]].ohm,
        )
        for s in circuit.segments
    )
    system = build_system(replace(circuit, branches=branches, segments=segments))
    return replace(study, circuit=system.circuit, system=system)


def sensed_anew(study: Study, point: Point, sensing: str) -> float:
    """Return the short current at a point of a study that was moved, in full."""
    waves = solve_waves(study.system, build_pattern(study.system))
    where = np.array([point.segment]), np.array([point.t])
    volts = np.array([study.scan.driven_at(point.segment, point.t)])
    return float(short_currents(volts, waves.impedance(*where)).sensed(sensing)[0])


def at(study: Study, position_m: float) -> Point:
    return find_point(study, OnRun(run=PartId("R1"), position_m=position_m))


@pytest.mark.parametrize("sensing", ["average", "rms", "peak"])
@pytest.mark.parametrize(
    ("layout", "place"), [(loose(), 14.3), (loose(), 20.0), (oval(), 2.2)]
)
def test_both_ends_are_as_solved_anew(
    layout: Layout, place: float, sensing: str
) -> None:
    # More resistance is less current, whatever the kind: all up is the low end.
    study = study_layout(layout)
    point = at(study, place)
    (band,) = short_bands(study, (point,), (sensing,))
    now = sensed_anew(study, point, sensing)
    for which, share in ((1, band.low), (0, band.high)):
        again = sensed_anew(moved(study, which), point, sensing)
        assert share * now == pytest.approx(again, rel=FIRST_ORDER)
    assert band.low < 0.99
    assert band.high > 1.01


def test_a_lone_path_leaves_nothing_out() -> None:
    # In series the loop is linear in every resistance: no second order at all.
    study = study_layout(small_line(drops=(0.0,)))
    point = at(study, 4.0)
    (band,) = short_bands(study, (point,), ("average",))
    now = sensed_anew(study, point, "average")
    for which, share in ((1, band.low), (0, band.high)):
        again = sensed_anew(moved(study, which), point, "average")
        assert share * now == pytest.approx(again, rel=1e-4)


def test_margins_are_the_current_over_the_trip() -> None:
    study = study_layout(loose())
    point = at(study, 14.3)
    ((low, high),) = margin_bands(study, (point,))
    now = sensed_anew(study, point, "average")
    (band,) = short_bands(study, (point,), ("average",))
    assert low == pytest.approx(now * band.low / 5.0)
    assert high == pytest.approx(now * band.high / 5.0)


def test_what_a_booster_gives_at_most_holds_in_the_band_too() -> None:
    layout = loose()
    booster = layout.need(PartId("PB1"), Booster)
    ((low, high),) = margin_bands(study_layout(layout), (Point(3, 0.5),))
    limit = 5.0 * (low + high) / 2.0
    held = msgspec.structs.replace(booster, limit_a=limit)
    study = study_layout(Layout({**layout.parts, held.id: held}))
    ((least, most),) = margin_bands(study, (Point(3, 0.5),))
    assert least == pytest.approx(low)
    assert most == pytest.approx(limit / 5.0)


def test_many_places_are_as_one_by_one() -> None:
    study = study_layout(loose())
    points = [at(study, 0.7 + 1.9 * i) for i in range(10)]
    together = short_bands(study, points, ["rms"] * 10)
    alone = [short_bands(study, (point,), ("rms",))[0] for point in points]
    assert [b.low for b in together] == pytest.approx([b.low for b in alone], rel=1e-9)
    assert short_bands(study, (), ()) == ()


def test_probe_and_list_hold_their_figures_between_their_ends() -> None:
    study = study_layout(loose())
    probe = probe_place(study, OnRun(run=PartId("R1"), position_m=14.3))
    assert probe.margin is not None
    assert probe.margin_low is not None
    assert probe.margin_high is not None
    assert probe.short_low_a == pytest.approx(5.0 * probe.margin_low)
    assert probe.margin_low < probe.margin < probe.margin_high
    for weak in weakest_shorts(study):
        assert weak.margin_low < weak.margin < weak.margin_high


# Volts, loop and the plain short at the ends of their bands ---------------------------


def loop_anew(study: Study, point: Point) -> float:
    """Return the loop by Ohm's law on the moved circuit: volts for 1 A. [Ω]"""
    system = study.system
    pattern = build_pattern(system)
    filled = fill_pattern(system, pattern, 1.0 / system.ohm[:, None])
    response = unit_response(replace(study, factor=pattern.factor(filled)), point)
    own = study.circuit.segments[point.segment]
    rows = np.append(response.rows, 0.0)
    left = system.row[[own.left0, own.left1]]
    right = system.row[[own.right0, own.right1]]
    across = np.abs(rows[left] - rows[right])
    rails = own.ohm_left + own.ohm_right
    t = point.t
    return float((1 - t) * across[0] + t * across[1] + t * (1 - t) * rails)


@pytest.mark.parametrize(("which", "name"), [(0, "low"), (1, "high")])
def test_loop_and_plain_short_at_the_ends_are_as_solved_anew(
    which: int, name: str
) -> None:
    study = study_layout(oval(train(1, 1.0, 0.5)))
    point = at(study, 2.2)
    band = band_at(study, point, unit_response(study, point))
    again = loop_anew(moved(study, which), point)
    assert getattr(band, f"loop_{name}_ohm") == pytest.approx(again, rel=0.01)
    other = "high" if name == "low" else "low"
    driven = study.scan.driven_at(point.segment, point.t)
    assert getattr(band, f"short_{other}_a") == pytest.approx(driven / again, rel=0.01)


def test_rail_alone_moves_the_loop_by_its_own_share() -> None:
    # One drop at 0.5 m and the train at 4 m: both rails from there, 2 · 3.5 m of 76
    # mΩ/m, are of the loop; with the rail alone at an end of its band (57 to 92 mΩ/m
    # of reference-data 3) it moves by 7 m of the difference.
    study = study_layout(small_line(drops=(0.5,)))
    point = at(study, 4.0)
    loop = study.scan.loop_at(point.segment, point.t)
    spread = next(b.spread for b in study.circuit.branches if b.kind is BranchKind.RAIL)
    for which in (0, 1):
        again = loop_anew(moved(study, which, BranchKind.RAIL), point)
        by_hand = 7.0 * 0.076 * (spread[which] - 1.0)
        assert again - loop == pytest.approx(by_hand, rel=1e-6)
