"""The club layout is what its name says, at every size."""

from itertools import pairwise

import pytest

from core.analysis.examine import study_layout
from core.checks.finding import Severity
from core.checks.run import run_checks
from core.layout.geometry import bus_path, run_path
from core.layout.parts import Bus, Drop, ToBus, TrackJoint, TrackRun, Turnout
from core.layout.queries import joint_positions
from tests.bench.generate import club_layout, count_pieces

SIZES = (40, 61, 100, 400, 1000)


@pytest.mark.parametrize("pieces", SIZES)
def test_it_has_the_pieces_asked_for_and_a_drop_on_each(pieces: int) -> None:
    layout = club_layout(pieces)
    assert count_pieces(layout) == pieces
    for run in layout.of_kind(TrackRun):
        at = [d.on.position_m for d in layout.of_kind(Drop) if d.on.run == run.id]
        ends = [0.0, *joint_positions(run), run_path(run).length_m]
        assert all(any(a < p < b for p in at) for a, b in pairwise(ends))


def test_at_400_pieces_it_is_as_large_as_the_design_says() -> None:
    # design.md, section 6: 400 rail pieces, about 3,200 nodes, 1,200 track points.
    circuit = study_layout(club_layout(400)).circuit
    ends = {n for s in circuit.segments for n in (s.left0, s.right0, s.left1, s.right1)}
    assert len(circuit.segments) == pytest.approx(1200, rel=0.03)
    assert len(ends) == pytest.approx(3200, rel=0.03)


def test_the_same_seed_gives_the_same_layout() -> None:
    assert club_layout(100, 7).parts == club_layout(100, 7).parts
    assert club_layout(100, 7).parts != club_layout(100, 8).parts


@pytest.mark.parametrize("pieces", SIZES)
def test_turnouts_leave_along_the_rails_they_stand_on(pieces: int) -> None:
    layout = club_layout(pieces)
    for turnout in layout.of_kind(Turnout):
        toe = run_path(layout.need(turnout.on.run, TrackRun)).at(turnout.on.position_m)
        leg = run_path(layout.need(turnout.leg.run, TrackRun))
        end = leg.start if turnout.leg.end == "start" else leg.end
        assert (end.x_mm, end.y_mm) == pytest.approx((toe.x_mm, toe.y_mm), abs=0.01)
        assert end.heading == pytest.approx(toe.heading, abs=1e-6)


@pytest.mark.parametrize("pieces", SIZES)
def test_runs_that_are_joined_meet(pieces: int) -> None:
    layout = club_layout(pieces)
    for joint in layout.of_kind(TrackJoint):
        end = run_path(layout.need(joint.a.run, TrackRun)).end
        start = run_path(layout.need(joint.b.run, TrackRun)).start
        assert (end.x_mm, end.y_mm) == pytest.approx((start.x_mm, start.y_mm), abs=0.01)


def test_taps_lie_on_their_buses() -> None:
    layout = club_layout(400)
    for drop in layout.of_kind(Drop):
        if isinstance(drop.to, ToBus):
            length = bus_path(layout.need(drop.to.part, Bus)).length_m
            assert drop.to.position_m <= length + 1e-9


@pytest.mark.slow
def test_it_grows_to_ten_thousand_pieces() -> None:
    assert count_pieces(club_layout(10_000)) == 10_000


@pytest.mark.parametrize(("pieces", "seed"), [(40, 0), (100, 3), (400, 0)])
def test_it_is_soundly_wired(pieces: int, seed: int) -> None:
    # No structure, polarity, protection or wire is at fault; a yard's far end may
    # lose a little over 5 %, and long legs end open (an advice).
    found = run_checks(study_layout(club_layout(pieces, seed)))
    assert {f.code for f in found} <= {"W201", "W209"}
    assert {f.severity for f in found} <= {Severity.ADVICE}
