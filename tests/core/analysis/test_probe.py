"""One point of track: volts, loop, breakdown, and the verdict."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.errors import UnknownNameError
from core.layout.ids import PartId
from core.layout.parts import Bus, Gap, OnRun, Settings
from core.materials.joints import joint
from tests.core.analysis.layouts import (
    booster,
    breaker,
    drop,
    layout_of,
    oval,
    small_line,
    straight,
    straight_bus,
    train,
)


def at(position_m: float, run: str = "R1") -> OnRun:
    return OnRun(run=PartId(run), position_m=position_m)


@given(st.floats(0.0, 4.5), st.floats(0.0, 2.0))
@settings(max_examples=40, deadline=None)
def test_the_breakdown_adds_up_to_the_cent(position: float, amps: float) -> None:
    study = study_layout(oval(train(1, 1.0, amps)))
    probe = probe_place(study, at(position))
    lost = sum(loss.volts_v for loss in probe.breakdown)
    assert lost == pytest.approx(probe.source_v - probe.volts_v, abs=1e-9)


def test_a_chain_is_the_sum_of_its_parts() -> None:
    # One drop at the start of a straight, the train at the far end: nothing is
    # parallel, so Ohm's law by hand, out and back, at 1 A:
    # rails 2·4.0·0.076 = 0.608, joints 2·4 new joiners, drop 2·0.3·39e-3.
    study = study_layout(small_line(drops=(0.0,)))
    probe = probe_place(study, at(4.0))
    by_kind = {loss.kind: loss.volts_v for loss in probe.breakdown}
    assert by_kind["rail"] == pytest.approx(0.608, abs=1e-6)
    assert by_kind["drop"] == pytest.approx(2 * 0.3 * 39.0e-3, abs=1e-6)
    assert by_kind["joint"] == pytest.approx(8 * joint("joiner-new").ohm, abs=1e-6)
    assert by_kind["supply"] == pytest.approx(0.05, abs=1e-6)


def test_loop_inductance_of_a_chain_is_the_sum_of_its_parts() -> None:
    # One path only: the inductances of bus (none: the drop hangs on its very
    # start), drop and track add. Compare with the same sum from the circuit.
    study = study_layout(small_line(drops=(0.0,)))
    probe = probe_place(study, at(4.0))
    total = sum(b.henry for b in study.circuit.branches if b.part in ("R1", "D1"))
    assert probe.loop_henry == pytest.approx(total, rel=1e-9)


def test_more_wire_between_the_same_points_never_helps_nor_harms_by_magic() -> None:
    # One more drop never raises the loop resistance of any point (Rayleigh).
    few = study_layout(oval(drops=(0.4, 2.8)))
    more = study_layout(oval(drops=(0.4, 1.6, 2.8)))
    for tenth in range(46):
        before = probe_place(few, at(tenth / 10)).loop_ohm
        after = probe_place(more, at(tenth / 10)).loop_ohm
        assert after <= before + 1e-9


def test_dead_track_says_so() -> None:
    study = study_layout(layout_of(Settings(), straight(2.0), booster()))
    probe = probe_place(study, at(1.0))
    assert not probe.fed
    assert probe.drop_verdict == "dead"


def test_a_run_that_is_not_there_is_named() -> None:
    study = study_layout(small_line())
    with pytest.raises(UnknownNameError, match="R9"):
        probe_place(study, at(0.0, "R9"))


def test_the_breaker_before_the_track_clears_its_shorts() -> None:
    bus = straight_bus(4.0, to="CB1")
    study = study_layout(
        layout_of(
            Settings(),
            straight(4.0),
            booster(),
            breaker(1, trip_a=3.0),
            bus,
            drop(1, 2.0),
        )
    )
    probe = probe_place(study, at(1.0))
    assert (probe.cleared_by, probe.trip_a) == ("CB1", 3.0)


def test_margin_is_what_the_device_senses_over_its_trip_current() -> None:
    study = study_layout(small_line())
    probe = probe_place(study, at(4.0))
    assert probe.margin is not None
    assert probe.short_mean_ones_a is not None
    # The booster of these layouts senses the average and trips at 5 A.
    assert probe.margin == pytest.approx(probe.short_mean_ones_a / 5.0, rel=1e-9)


def test_loose_bus_far_away_is_ruled_by_inductance() -> None:
    # needs.md 3.6: 40 m of 14 AWG 100 mm apart: 17.8 A by resistance (with code
    # 83 above it) and 3.7 to 5.6 A in truth. Here one drop at the far end.
    layout = small_line(length_m=40.0, drops=(40.0,))
    bus = layout.need(PartId("B1"), Bus)
    layout = layout_of(
        *(p for p in layout.parts.values() if p.id != "B1"),
        replace(bus, wire="awg14-solid", lay="apart", spacing_mm=100.0, slack=0.0),
    )
    probe = probe_place(study_layout(layout), at(40.0))
    assert probe.short_dc_a > 15.0
    assert probe.short_rms_ones_a is not None
    assert 2.5 < probe.short_rms_ones_a < 4.5


def test_behind_a_gap_the_worst_place_is_probed_on_its_own_side() -> None:
    # Cut at 2.0 m, fed at 0.5 m and at 3.9 m: the worst place begins the far side,
    # 1.9 m of code 100 without joints from its drop, 2 · 0.076 Ω/m: 0.2888 Ω more
    # than there. On the near side 1.5 m lie between: 0.228 Ω.
    cut = Gap(id=PartId("G1"), on=at(2.0))
    study = study_layout(
        layout_of(
            Settings(),
            straight(4.0, piece_m=9.0),
            booster(),
            straight_bus(),
            drop(1, 0.5),
            drop(2, 3.9),
            cut,
        )
    )
    worst = study.worst_loop
    assert worst is not None
    assert worst.place.position_m == pytest.approx(2.0, abs=1e-4)
    there = probe_place(study, worst.place)
    fed = probe_place(study, at(3.9))
    assert there.loop_ohm - fed.loop_ohm == pytest.approx(0.2888, abs=1e-4)
    assert there.loop_ohm == pytest.approx(worst.value, abs=1e-5)
    near = probe_place(study, at(2.0)).loop_ohm - probe_place(study, at(0.5)).loop_ohm
    assert near == pytest.approx(0.228, abs=1e-4)
