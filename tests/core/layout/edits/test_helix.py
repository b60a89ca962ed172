"""Helices as lengths of track."""

from math import pi

import pytest

from core.errors import EditError
from core.layout.edits.helix import add_helix
from core.layout.edits.join import do_meet
from core.layout.geometry import Pose, run_path
from core.layout.parts import RunEnd, TrackJoint, TrackRun
from core.layout.queries import grade_of, turns_of
from tests.core.layout.edits.hand import (
    after,
    arc,
    end,
    i,
    layout_of,
    near,
    only,
    run,
    start,
    straight,
    the,
)


def test_six_turns_of_460_mm_by_hand() -> None:
    # 6·2π·0.46 m = 17.342 m; 6·65 mm = 390 mm of climb are 2.249 %.
    there = after(layout_of(), add_helix(layout_of(), Pose(0, 0, 0), 460.0, 6.0, 65.0))
    made = only(there, TrackRun)
    assert made.pieces == (arc(460.0, 2160.0),)
    assert run_path(made).length_m == near(17.342, abs=0.001)
    assert (made.level_mm, made.level_end_mm) == (0.0, 390.0)
    assert grade_of(made) == near(0.02249, abs=1e-5)
    assert turns_of(made) == near(6.0)


def test_to_the_right_it_turns_clockwise() -> None:
    change = add_helix(layout_of(), Pose(0, 0, 0), 460.0, 1.5, -50.0, hand="right")
    made = only(after(layout_of(), change), TrackRun)
    far = run_path(made).end
    # One and a half times round to the right: opposite, two radii below.
    assert (far.x_mm, far.y_mm) == (near(0, abs=1e-6), near(-920))
    assert made.level_end_mm == -75.0


@pytest.mark.parametrize("which", ["start", "end"])
def test_on_a_free_end_it_is_joined_and_begins_at_its_height(which: str) -> None:
    main = TrackRun(
        id=i("R1"),
        x_mm=0,
        y_mm=0,
        heading_deg=30,
        pieces=(straight(1000),),
        level_mm=100,
        level_end_mm=120,
        rail="code83-ns",
    )
    layout = layout_of(main)
    at: RunEnd = end("R1") if which == "end" else start("R1")
    there = after(layout, add_helix(layout, at, 500.0, 2.0, 80.0))
    made, joint = the(there, TrackRun, "R2"), only(there, TrackJoint)
    assert (joint.a, joint.b) == (at, start("R2"))
    assert do_meet(there, joint.a, joint.b)
    level = 120.0 if which == "end" else 100.0
    assert (made.level_mm, made.level_end_mm) == (level, level + 160.0)
    assert made.rail == "code83-ns"


def test_without_a_rise_it_is_level() -> None:
    change = add_helix(layout_of(), Pose(0, 0, 0), 500.0, 2.0, 0.0)
    assert only(after(layout_of(), change), TrackRun).level_end_mm is None


@pytest.mark.parametrize("turns", [0.0, 0.2, 100.0])
def test_too_few_and_too_many_turns_are_refused(turns: float) -> None:
    with pytest.raises(EditError, match="turns"):
        add_helix(layout_of(), Pose(0, 0, 0), 500.0, turns, 80.0)


def test_a_plain_curve_is_no_helix() -> None:
    assert turns_of(run("R1", arc(500, 360))) == 0.0
    assert 2 * pi * 0.46 * 6 == near(17.342, abs=0.001)
