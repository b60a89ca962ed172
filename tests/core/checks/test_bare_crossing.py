"""W105 fires where tracks cross on one level and nothing is laid there."""

from math import acos, degrees, radians, sin

import pytest
from msgspec.structs import replace

from core.checks.rules.bare_crossing import RULE
from core.layout.edits.join import make_turnout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of
from core.layout.parts import (
    Arc,
    Crossing,
    End,
    OnRun,
    RunEnd,
    Straight,
    TrackRun,
    Turnout,
)
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.cross import across, crossing, fed_across


def test_fires_and_lays_a_diamond() -> None:
    layout = fed_across(None)
    found = find_one(RULE, layout)
    assert found.sentence == (
        "Main and Siding cross on one level, and no crossing is laid there."
    )
    assert set(found.parts) == {"R1", "R2"}
    assert found.place is not None
    assert found.place.position_m == pytest.approx(1.0)
    assert find(RULE, mended(layout, found)) == []


@pytest.mark.parametrize("apart_mm", [20.0])
def test_fires_just_at_the_height_that_still_counts_as_one_level(
    apart_mm: float,
) -> None:
    layout = fed_across(None, across(2, 15.0, level_mm=apart_mm))
    assert len(find(RULE, layout)) == 1


def test_quiet_just_above_that_height() -> None:
    assert find(RULE, fed_across(None, across(2, 15.0, level_mm=20.1))) == []


def test_quiet_where_a_crossing_is_laid() -> None:
    assert find(RULE, fed_across(crossing())) == []


def test_quiet_for_the_leg_of_a_turnout_by_its_own_through_track() -> None:
    # A leg that swings back over its through track right behind the crossing.
    through = TrackRun(
        id=PartId("R1"), x_mm=0.0, y_mm=0.0, heading_deg=0.0,
        pieces=(Straight(length_mm=2000.0),),
    )  # fmt: skip
    leg = TrackRun(
        id=PartId("R2"), x_mm=500.0, y_mm=0.0, heading_deg=0.0,
        pieces=(
            Arc(radius_mm=200.0, sweep_deg=12.0),
            Arc(radius_mm=200.0, sweep_deg=-40.0),
            Straight(length_mm=300.0),
        ),
    )  # fmt: skip
    turnout = Turnout(
        id=PartId("T1"),
        on=OnRun(run=PartId("R1"), position_m=0.5),
        leg=RunEnd(run=PartId("R2"), end="start"),
        lead_m=0.15,
    )
    parts = {part.id: part for part in (through, leg)}
    assert len(find(RULE, Layout(parts))) == 1
    assert find(RULE, Layout({**parts, turnout.id: turnout})) == []
    # With a short lead the leg is a track of its own by then.
    short = replace(turnout, lead_m=0.05)
    assert len(find(RULE, Layout({**parts, turnout.id: short}))) == 1


def test_fires_once_for_a_track_that_crosses_itself() -> None:
    eight = TrackRun(
        id=PartId("R1"), name="Eight", x_mm=-200.0, y_mm=0.0, heading_deg=0.0,
        pieces=(
            Straight(length_mm=600.0),
            Arc(radius_mm=400.0, sweep_deg=270.0),
            Straight(length_mm=900.0),
        ),
    )  # fmt: skip
    layout = Layout({eight.id: eight})
    found = find_one(RULE, layout)
    assert found.sentence.startswith("Eight crosses itself on one level")
    better = mended(layout, found)
    assert len(list(better.of_kind(Crossing))) == 1


def test_fires_in_the_middle_of_a_scissors_crossover_and_only_there() -> None:
    # Two tracks 60 mm apart, a crossover each way between them. By symmetry the two
    # cross half way along each, at twice the angle that each curve turns by.
    turn = degrees(acos(1.0 - 60.0 / 2.0 / 1200.0))
    across_mm = 2.0 * 1200.0 * sin(radians(turn))

    def leg(number: int, y_mm: float, sign: float) -> TrackRun:
        bends = (turn * sign, -turn * sign)
        return TrackRun(
            id=PartId(f"R{number}"),
            x_mm=500.0,
            y_mm=y_mm,
            heading_deg=0.0,
            pieces=tuple(Arc(radius_mm=1200.0, sweep_deg=b) for b in bends),
        )

    def track(number: int, y_mm: float) -> TrackRun:
        return TrackRun(
            id=PartId(f"R{number}"),
            x_mm=0.0,
            y_mm=y_mm,
            heading_deg=0.0,
            pieces=(Straight(length_mm=2000.0),),
        )

    runs = (track(1, 0.0), track(2, 60.0), leg(3, 0.0, 1.0), leg(4, 60.0, -1.0))
    layout = Layout({run.id: run for run in runs})
    far_m = 0.5 + across_mm / 1000.0
    ends: tuple[tuple[str, float, str, End], ...] = (
        ("R1", 0.5, "R3", "start"),
        ("R2", far_m, "R3", "end"),
        ("R2", 0.5, "R4", "start"),
        ("R1", far_m, "R4", "end"),
    )
    for through, at_m, which, end in ends:
        toe = OnRun(run=PartId(through), position_m=at_m)
        layout.apply(make_turnout(layout, toe, RunEnd(run=PartId(which), end=end)))
    found = find_one(RULE, layout)
    assert set(found.parts) == {"R3", "R4"}
    better = mended(layout, found)
    (made,) = better.of_kind(Crossing)
    assert made.a.position_m == pytest.approx(1.2 * radians(turn), abs=1e-6)
    lie = lie_of(better, made)
    assert lie is not None
    assert lie.sharp_deg == pytest.approx(2.0 * turn, abs=1e-6)
