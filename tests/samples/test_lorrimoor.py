"""Lorrimoor Shed by hand: a loop, and what the ring makes of each road.

Values as in test_tansyford; bus of 2.5 mm² 7.98 mΩ/m (IEC 60228:2004, class 5).
"""

import pytest

from core.analysis.examine import study_layout
from core.analysis.pits import find_meetings
from core.checks.run import run_checks
from core.layout.edits.turn import turn_bridge
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import TrackRun, Turntable
from core.layout.turntables import find_stalls
from tests.samples.build import build_sample

SAMPLES = ("lorrimoor-shed", "lorrimoor-shed-faults")


def told(layout: Layout) -> list[tuple[str, tuple[PartId, ...]]]:
    found = run_checks(study_layout(layout))
    return sorted((f.code, f.parts) for f in found)


def test_the_highest_loop_is_at_the_far_end_of_the_last_road() -> None:
    # Booster 0.05; screws 2 × 2 mΩ; 1.59 m of bus and 5 %; tap and solder; lead 40 mm
    # down, 150 mm slack and 370 mm along; 0.4 m of rail at 76 mΩ/m: out and back.
    bus = 2 * 0.00798 * 1.05 * 1.59
    lead = 2 * 0.0390 * (0.190 + 0.370)
    by_hand = 0.05 + 2 * 0.002 + bus + 2 * 0.003 + 2 * 0.0005 + lead + 0.4 * 2 * 0.0760
    assert by_hand == pytest.approx(0.1921, abs=0.0001)
    study = study_layout(build_sample("lorrimoor-shed"))
    assert study.worst_loop is not None
    assert study.worst_loop.place.run == "R11"
    assert study.worst_loop.value == pytest.approx(by_hand, rel=0.002)


@pytest.mark.parametrize("name", SAMPLES)
def test_its_stalls_are_the_run_ends_that_face_its_pits(name: str) -> None:
    layout = build_sample(name)
    counts = []
    for table in layout.of_kind(Turntable):
        assert find_stalls(layout, table) == table.stalls
        counts.append(len(table.stalls))
    # Of the faulty one the last road ends short of the traverser.
    assert counts == ([6, 3] if name.endswith("faults") else [6, 4])


def test_every_road_is_looked_at_with_both_ends_of_the_turning_bridge() -> None:
    # Six roads twice at the turntable; four once at the traverser.
    meetings = find_meetings(study_layout(build_sample("lorrimoor-shed")))
    assert len(meetings) == 16
    assert not any(meeting.opposes for meeting in meetings)


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("number", [1, 3, 5, 6])
def test_wherever_the_bridge_stands_the_findings_are_the_same(
    name: str, number: int
) -> None:
    layout = build_sample(name)
    before = told(layout)
    for _ in range(2):  # to the stall, and end for end there
        layout.apply(turn_bridge(layout, PartId("TT1"), number))
        assert told(layout) == before


def test_the_traverser_comes_in_line_with_a_road() -> None:
    layout = build_sample("lorrimoor-shed")
    layout.apply(turn_bridge(layout, PartId("TT2"), 4))
    bridge = run_path(layout.need(PartId("R8"), TrackRun))
    assert (bridge.start.x_mm, bridge.start.y_mm) == pytest.approx((1550.0, 670.0))
