"""W132: track that looks as if it led to a turntable, and does not."""

from math import cos, hypot, radians, sin

import pytest
from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.short_of_pit import RULE
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import RunEnd, TrackJoint, TrackRun, Turntable
from tests.core.checks.plank import find, find_one, mended
from tests.core.checks.shed import ACROSS_MM, shed, stall

# The pit has 300 mm across, its middle at 0, 0; house choice: 60 mm and 15°.


def road(off_mm: float, *, aside_deg: float = 0.0, inwards: bool = False) -> TrackRun:
    """Return a track at 0° that ends so far off the edge and points so far aside."""
    turn = radians(aside_deg)
    x = 0.5 * ACROSS_MM + off_mm
    if not inwards:
        return replace(stall(2, 0.0), x_mm=x, heading_deg=aside_deg)
    return replace(
        stall(2, 0.0),
        x_mm=x + 600.0 * cos(turn),
        y_mm=600.0 * sin(turn),
        heading_deg=aside_deg + 180.0,
    )


def beside(*tracks: TrackRun) -> Layout:
    """Return the shed with one stall at 90°, and further tracks drawn by hand."""
    return shed(90.0, more=tracks)


@pytest.mark.parametrize("inwards", [False, True])
def test_fires_for_track_that_ends_short_and_its_fix_leads_it_on(
    *, inwards: bool
) -> None:
    layout = beside(road(14.0, inwards=inwards))
    found = find_one(RULE, layout)
    assert found.severity is Severity.ADVICE
    assert found.parts == ("R3", "TT1")
    assert "Shed 2 ends 14 mm short of TT1" in found.sentence
    better = mended(layout, found)
    end = RunEnd(run=PartId("R3"), end="end" if inwards else "start")
    assert better.need(PartId("TT1"), Turntable).stalls[-1] == end
    assert run_path(better.need(PartId("R3"), TrackRun)).length_m == pytest.approx(
        0.614
    )
    path = run_path(better.need(PartId("R3"), TrackRun))
    there = path.end if inwards else path.start
    assert hypot(there.x_mm, there.y_mm) == pytest.approx(0.5 * ACROSS_MM, abs=1e-3)
    assert find(RULE, better) == []


def test_fires_for_track_that_reaches_into_the_pit_and_its_fix_cuts_it_back() -> None:
    layout = beside(road(-25.0, inwards=True))
    found = find_one(RULE, layout)
    assert "reaches 25 mm into TT1" in found.sentence
    better = mended(layout, found)
    assert find(RULE, better) == []
    assert len(better.need(PartId("TT1"), Turntable).stalls) == 2


def test_track_that_begins_inside_the_pit_is_for_the_person_to_cut() -> None:
    found = find_one(RULE, beside(road(-25.0)))
    assert found.fix is None
    assert found.remedy.startswith("Cut it back by 25 mm")


def test_fires_for_track_at_the_edge_that_points_past_the_middle() -> None:
    # 8° past the middle, on whichever way it is led on.
    found = find_one(RULE, beside(road(0.0, aside_deg=8.0)))
    assert "points 8° past the bridge of TT1" in found.sentence
    assert found.fix is None
    assert found.remedy.startswith("Draw its end anew")


def test_fires_for_track_at_the_edge_that_a_file_left_out_of_the_stalls() -> None:
    layout = beside(road(0.0))
    found = find_one(RULE, layout)
    assert "is not joined to" in found.sentence
    assert find(RULE, mended(layout, found)) == []


def test_fires_beside_a_traverser() -> None:
    # Its bridge lies at 90°: stalls come in from above and below, 200 mm to the side.
    above = replace(
        stall(2, 90.0), x_mm=120.0, y_mm=0.5 * ACROSS_MM + 14.0, heading_deg=90.0
    )
    layout = shed(90.0, more=(above,), form="traverser", travel_mm=400.0)
    found = find_one(RULE, layout)
    assert "14 mm short" in found.sentence
    assert find(RULE, mended(layout, found)) == []
    beyond = replace(above, x_mm=220.0)
    assert find(RULE, shed(90.0, more=(beyond,), form="traverser")) == []


@pytest.mark.parametrize(
    ("off_mm", "aside_deg", "count"),
    [(59.0, 0.0, 1), (61.0, 0.0, 0), (20.0, 14.0, 1), (20.0, 16.0, 0), (-61.0, 0.0, 0)],
)
def test_quiet_farther_off_or_askew(
    off_mm: float, aside_deg: float, count: int
) -> None:
    assert len(find(RULE, beside(road(off_mm, aside_deg=aside_deg)))) == count


def test_quiet_for_stalls_and_for_the_bridge() -> None:
    assert find(RULE, shed(0.0, 90.0)) == []
    # A stall may miss the edge by 10 mm.
    slack = replace(stall(1, 0.0), x_mm=0.5 * ACROSS_MM + 9.9)
    assert find(RULE, Layout({**shed(0.0).parts, slack.id: slack})) == []


def test_quiet_for_track_whose_end_is_joined_to_other_track() -> None:
    other = replace(stall(3, 0.0), x_mm=2000.0)
    layout = beside(road(14.0), other)
    assert len(find(RULE, layout)) == 1
    held = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=PartId("R3"), end="start"),
        b=RunEnd(run=PartId("R4"), end="start"),
    )
    assert find(RULE, Layout({**layout.parts, held.id: held})) == []
