"""Bands against solving again with every value of a kind at its end."""

from dataclasses import replace

import msgspec
import pytest

from core.analysis.bands import band_at
from core.analysis.breakdown import unit_response
from core.analysis.examine import study_layout
from core.analysis.nodal import solve_nodal
from core.analysis.probe import find_point
from core.analysis.study import Study
from core.analysis.system import build_system
from core.layout.ids import PartId
from core.layout.parts import OnRun
from tests.core.analysis.circuits import drawing
from tests.core.analysis.layouts import small_line, train


def volts_again(study: Study, at: OnRun, share: float, which: int) -> float:
    """Return volts with each kind moved by a share of its band towards its end."""
    branches = tuple(
        msgspec.structs.replace(b, ohm=b.ohm * (1.0 + share * (b.spread[which] - 1.0)))
        for b in study.circuit.branches
    )
    system = build_system(replace(study.circuit, branches=branches))
    point = find_point(study, at)
    segment = study.circuit.segments[point.segment]
    assert point.t == pytest.approx(1.0)
    amps = study.scan.train_a
    push = drawing(system, [(segment.left1, segment.right1, amps)])
    solved = solve_nodal(system, push + study.drawn.injection)
    return abs(float(solved.volts[segment.left1] - solved.volts[segment.right1]))


@pytest.mark.parametrize(("which", "name"), [(0, "volts_high_v"), (1, "volts_low_v")])
def test_bands_are_the_slope_of_solving_again(which: int, name: str) -> None:
    # To first order: a hundredth of the band, times a hundred. All resistances
    # up is the worst case here, since every branch on the way lowers the volts.
    study = study_layout(small_line(train(1, 1.0, 0.5)))
    at = OnRun(run=PartId("R1"), position_m=4.0)
    point = find_point(study, at)
    band = band_at(study, point, unit_response(study, point))
    still = study.scan.volts_at(point.segment, point.t)
    slope = 100.0 * (volts_again(study, at, 0.01, which) - still)
    assert getattr(band, name) - still == pytest.approx(slope, rel=0.05, abs=1e-4)


def test_a_band_holds_the_figure_it_belongs_to() -> None:
    study = study_layout(small_line())
    point = find_point(study, OnRun(run=PartId("R1"), position_m=1.3))
    band = band_at(study, point, unit_response(study, point))
    loop = study.scan.loop_at(point.segment, point.t)
    assert band.loop_low_ohm < loop < band.loop_high_ohm
    assert band.short_low_a < study.scan.short_at(point.segment, point.t)


@pytest.mark.parametrize(("which", "name"), [(0, "volts_high_v"), (1, "volts_low_v")])
def test_the_ends_of_the_band_are_as_solved_again(which: int, name: str) -> None:
    study = study_layout(small_line(train(1, 1.0, 0.5)))
    at = OnRun(run=PartId("R1"), position_m=4.0)
    point = find_point(study, at)
    band = band_at(study, point, unit_response(study, point))
    again = volts_again(study, at, 1.0, which)
    still = study.scan.volts_at(point.segment, point.t)
    # Of what the band takes or gives, at most a twentieth is of the second order.
    assert getattr(band, name) - still == pytest.approx(again - still, rel=0.05)
    assert getattr(band, name) == pytest.approx(again, rel=0.001)
