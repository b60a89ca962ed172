"""Two districts meet: mismatch, phase, and boosters joined by accident."""

import pytest
from msgspec.structs import replace

from core.analysis.boundaries import Boundary, find_boundaries
from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Drop,
    Gap,
    OnRun,
    Part,
    Settings,
    ToPort,
)
from core.network.islands import find_islands
from core.network.parallel import find_meetings
from tests.core.analysis.layouts import layout_of, straight


def supply(number: int, volts: float, *, reversed_phase: bool = False) -> Booster:
    return Booster(
        id=PartId(f"PB{number}"),
        x_mm=0.0,
        y_mm=-500.0,
        volts_v=volts,
        reversed_phase=reversed_phase,
    )


def lead(number: int, at_m: float, booster: int) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId("R1"), position_m=at_m),
        to=ToPort(part=PartId(f"PB{booster}")),
        lead_m=0.3,
    )


GAP = Gap(id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=2.0))


def two_districts(*boosters: Booster, gap: Part = GAP) -> Layout:
    return layout_of(
        Settings(), straight(4.0), *boosters, gap, lead(1, 1.0, 1), lead(2, 3.0, 2)
    )


def boundary(*boosters: Booster) -> Boundary:
    (found,) = find_boundaries(study_layout(two_districts(*boosters)))
    return found


def test_n35_mismatch_drives_a_current_through_the_wheels() -> None:
    # needs.md N35: 15.0 against 14.2 V over 0.40 Ω: 2.0 A. Here the loops are
    # what two drops and two stretches of rail make of it: (0.8 V) / (Z1 + Z2).
    found = boundary(supply(1, 15.0), supply(2, 14.2))
    assert found.mismatch_v == pytest.approx(0.8, abs=1e-6)
    assert found.bridge_a == pytest.approx(0.8 / found.loop_ohm)


def test_the_loop_of_a_boundary_is_that_of_its_two_sides() -> None:
    # By hand for one side: inner 0.05, contact twice (screw + solder), drop
    # 2 × 0.3 m, rail 2 × 1.0 m with one joint at 0.914/1.828: the same as the
    # probe says just before the gap, plus the same just behind it.
    study = study_layout(two_districts(supply(1, 15.0), supply(2, 15.0)))
    (found,) = find_boundaries(study)
    before = probe_place(study, OnRun(run=PartId("R1"), position_m=2.0)).loop_ohm
    after = probe_place(study, OnRun(run=PartId("R1"), position_m=2.0 + 1e-9)).loop_ohm
    assert found.loop_ohm == pytest.approx(before + after, rel=1e-6)


def test_n36_reversed_phase_puts_twice_the_volts_across_the_gap() -> None:
    # needs.md N36: 30 V across the gap of two 15 V districts.
    found = boundary(supply(1, 15.0), supply(2, 15.0, reversed_phase=True))
    assert found.opposite
    assert found.mismatch_v == pytest.approx(30.0, abs=1e-6)


def test_districts_in_phase_and_of_equal_volts_are_quiet() -> None:
    found = boundary(supply(1, 15.0), supply(2, 15.0))
    assert not found.opposite
    assert found.bridge_a == pytest.approx(0.0, abs=1e-9)


def test_a_gap_with_power_on_one_side_only_is_no_boundary() -> None:
    layout = layout_of(Settings(), straight(4.0), supply(1, 15.0), GAP, lead(1, 1.0, 1))
    assert find_boundaries(study_layout(layout)) == ()


def test_n38_a_gap_in_one_rail_leaves_the_other_pole_in_common() -> None:
    # needs.md N38: two boosters joined through a rail, with the way named.
    one_rail = replace(GAP, rails="right")
    study = study_layout(two_districts(supply(1, 15.0), supply(2, 15.0), gap=one_rail))
    (found,) = find_meetings(study.circuit, find_islands(study.circuit))
    assert found.boosters == ("PB1", "PB2")
    assert found.poles == ("plus",)  # A is on the left rails, which are not cut
    assert found.paths[0] == ("D1", "R1", "D2")


def test_no_gap_at_all_joins_both_poles() -> None:
    layout = layout_of(
        Settings(),
        straight(4.0),
        supply(1, 15.0),
        supply(2, 15.0),
        lead(1, 1.0, 1),
        lead(2, 3.0, 2),
    )
    study = study_layout(layout)
    (found,) = find_meetings(study.circuit, find_islands(study.circuit))
    assert found.poles == ("plus", "minus")


def test_a_probe_on_shorted_track_says_so_first() -> None:
    layout = layout_of(
        Settings(),
        straight(4.0),
        supply(1, 15.0),
        lead(1, 1.0, 1),
        replace(lead(2, 3.0, 1), a_rail="right"),
    )
    probe = probe_place(study_layout(layout), OnRun(run=PartId("R1"), position_m=0.0))
    assert probe.shorted_by == "PB1"
    assert probe.drop_verdict == "poor"


def test_staggered_cuts_in_the_two_rails_make_one_boundary() -> None:
    # Left at 2.00 m, right at 2.02 m: between them lie 20 mm of track whose left
    # rail is the second booster's, its right rail the first one's.
    left = Gap(
        id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=2.0), rails="left"
    )
    right = Gap(
        id=PartId("G2"), on=OnRun(run=PartId("R1"), position_m=2.02), rails="right"
    )
    layout = two_districts(supply(1, 15.0), supply(2, 14.2), gap=left)
    parts = [*layout.parts.values(), right]
    (found,) = find_boundaries(study_layout(layout_of(*parts)))
    assert found.mismatch_v == pytest.approx(0.8, rel=1e-6)
    assert found.feeds == ("PB1", "PB2")
