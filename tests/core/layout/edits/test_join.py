"""Joining track: ends that meet, and turnouts read off the drawing."""

from collections.abc import Callable
from math import acos, cos, sin, sqrt

import pytest

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.join import (
    LEAD_M,
    close_run,
    is_free,
    join_run_ends,
    make_turnout,
)
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import RunEnd, Side, TrackJoint, TrackRun, Turnout
from tests.core.layout.edits.hand import (
    after,
    arc,
    end,
    i,
    layout_of,
    on,
    only,
    run,
    start,
    straight,
)

GAUGE_MM = 16.5
"""Track gauge of HO, NEM 010 and NMRA S-1.2 (from memory). [mm]"""

OVAL = (straight(1000), arc(500, 180), straight(1000), arc(500, 180))


def test_two_ends_that_meet_are_joined_as_the_first_track_is() -> None:
    layout = layout_of(run("R1"), run("R2", x=1000))
    layout.apply(set_fields(layout, frozenset({i("R1")}), joint="soldered"))
    layout.apply(join_run_ends(layout, end("R1"), start("R2")))
    made = only(layout, TrackJoint)
    assert (made.id, made.a, made.b) == ("J1", end("R1"), start("R2"))
    assert (made.joint, made.insulated) == ("soldered", "none")
    assert not is_free(layout, end("R1"))
    assert is_free(layout, start("R1"))


def test_the_kind_of_joint_can_be_said() -> None:
    layout = layout_of(run("R1"), run("R2", x=1000))
    change = join_run_ends(layout, start("R2"), end("R1"), joint="joiner-aged")
    assert only(after(layout, change), TrackJoint).joint == "joiner-aged"


def test_an_oval_is_closed_on_itself() -> None:
    layout = layout_of(run("R1", *OVAL))
    layout.apply(close_run(layout, i("R1")))
    made = only(layout, TrackJoint)
    assert (made.a, made.b) == (end("R1"), start("R1"))


@pytest.mark.parametrize(
    ("other", "says"),
    [
        (run("R2", x=1001.9), None),
        (run("R2", x=1002.1), "do not meet in line"),
        (run("R2", x=1000, y=2.1), "do not meet in line"),
        (run("R2", x=1000, heading=2.9), None),
        (run("R2", x=1000, heading=-3.1), "do not meet in line"),
        (run("R2", x=1000, heading=360), None),
        (run("R2", x=1000, heading=180), "do not meet in line"),
    ],
)
def test_two_millimetres_and_three_degrees_are_in_line(
    other: TrackRun, says: str | None
) -> None:
    layout = layout_of(run("R1"), other)
    if says is None:
        layout.apply(join_run_ends(layout, end("R1"), start("R2")))
        assert not is_free(layout, start("R2"))
        return
    with pytest.raises(EditError, match=says):
        join_run_ends(layout, end("R1"), start("R2"))


JOINED = layout_of(
    run("R1"),
    run("R2", x=1000),
    run("R3", x=1000),
    run("R4", x=2000),
    TrackJoint(id=i("J1"), a=end("R1"), b=start("R2")),
)


@pytest.mark.parametrize(
    ("build", "says"),
    [
        (lambda x: join_run_ends(x, end("R3"), end("R3")), "to itself"),
        (lambda x: join_run_ends(x, end("R1"), start("R3")), "end of R1 is joined"),
        (lambda x: join_run_ends(x, start("R3"), start("R2")), "start of R2 is joined"),
        (lambda x: join_run_ends(x, end("R9"), start("R3")), "no track R9"),
        (lambda x: join_run_ends(x, start("R3"), end("R9")), "no track R9"),
        (lambda x: close_run(x, i("R3")), "do not meet"),
        (lambda x: close_run(x, i("R9")), "no track R9"),
        (lambda x: make_turnout(x, on("R9", 0), start("R3")), "no track R9"),
        (lambda x: make_turnout(x, on("R2", 0.5), start("R9")), "no track R9"),
        (lambda x: make_turnout(x, on("R2", 5), start("R3")), "off R2"),
        (lambda x: make_turnout(x, on("R3", 0), start("R2")), "start of R2 is joined"),
        (lambda x: make_turnout(x, on("R2", 0.003), start("R3")), "does not lie on"),
        (lambda x: make_turnout(x, on("R2", 1.0), start("R4")), "R2 ends there"),
    ],
)
def test_what_does_not_meet_is_not_joined(
    build: Callable[[Layout], Change], says: str
) -> None:
    with pytest.raises(EditError, match=says):
        build(JOINED)


def test_a_toe_at_a_joined_end_has_track_straight_on() -> None:
    change = make_turnout(JOINED, on("R1", 1.0), start("R3"))
    assert only(after(JOINED, change), Turnout).on == on("R1", 1.0)


def test_a_leg_that_leaves_crosswise_is_no_turnout() -> None:
    layout = layout_of(run("R1"), run("R2", x=500, heading=45))
    with pytest.raises(EditError, match="at an angle"):
        make_turnout(layout, on("R1", 0.5), start("R2"))


# Which way, which hand ----------------------------------------------------------------
#
# The through track runs along +x. Seen from the toe looking along +x (forward), left is
# +y; looking along −x (backward), left is −y.


def leg_from(toe_x: float, heading: float, sweep: float, *, from_end: bool) -> TrackRun:
    """Return a leg of radius 600 that leaves (toe_x, 0), drawn to or from the toe."""
    if not from_end:
        return run("R2", arc(600, sweep), x=toe_x, heading=heading)
    # Drawn the other way: it starts where the arc ends and comes in to the toe.
    turned = heading + sweep
    c, s = cosd(heading), sind(heading)
    ahead, aside = 600 * sind(abs(sweep)), 600 * (1 - cosd(sweep))
    aside = aside if sweep > 0 else -aside
    x, y = toe_x + ahead * c - aside * s, ahead * s + aside * c
    return run("R2", arc(600, -sweep), x=x, y=y, heading=turned + 180)


def cosd(degrees: float) -> float:
    return cos(degrees * acos(-1) / 180)


def sind(degrees: float) -> float:
    return sin(degrees * acos(-1) / 180)


@pytest.mark.parametrize("from_end", [False, True])
@pytest.mark.parametrize(
    ("heading", "sweep", "opens", "hand"),
    [
        (0, 30, "forward", "left"),
        (0, -30, "forward", "right"),
        (180, 30, "backward", "left"),
        (180, -30, "backward", "right"),
    ],
)
def test_the_drawing_tells_which_way_a_turnout_opens_and_its_hand(
    *, heading: float, sweep: float, opens: str, hand: Side, from_end: bool
) -> None:
    leg = leg_from(1500, heading, sweep, from_end=from_end)
    layout = layout_of(run("R1", straight(3000)), leg)
    leg_end = RunEnd(run=PartId("R2"), end="end" if from_end else "start")
    made = only(after(layout, make_turnout(layout, on("R1", 1.5), leg_end)), Turnout)
    assert (made.opens, made.hand, made.leg) == (opens, hand, leg_end)
    # The centre lines part by the gauge where R·(1 − cos(s/R)) = gauge.
    lead = 0.6 * acos(1 - GAUGE_MM / 600)
    assert made.lead_m == pytest.approx(lead, abs=1e-4)
    assert made.lead_m == pytest.approx(sqrt(2 * 0.6 * GAUGE_MM / 1000), rel=0.005)


@pytest.mark.parametrize(
    ("leg", "hand"),
    [
        (
            (straight(800),),
            "right",
        ),  # goes straight on where the through track bends left
        ((arc(1600, 40),), "right"),  # bends less: on the outside
        ((arc(500, 90),), "left"),  # bends more: on the inside
        ((arc(1000, -40),), "right"),
    ],
)
def test_the_hand_is_seen_from_a_through_track_that_may_bend(
    leg: tuple[object, ...], hand: Side
) -> None:
    layout = layout_of(run("R1", arc(1000, 90)), run("R2", *leg))  # type: ignore[arg-type]
    made = only(after(layout, make_turnout(layout, on("R1", 0), start("R2"))), Turnout)
    assert made.hand == hand


def test_a_straight_leg_off_a_bend_parts_like_a_bent_leg_off_a_straight() -> None:
    # Straight off radius 1000: across the bend they part by gauge where
    # R·(1 − cos θ)/cos θ = gauge measured along the radius; within 2 % of √(2·R·gauge).
    layout = layout_of(run("R1", arc(1000, 90)), run("R2", straight(800)))
    made = only(after(layout, make_turnout(layout, on("R1", 0), start("R2"))), Turnout)
    assert made.lead_m == pytest.approx(sqrt(2 * 1.0 * GAUGE_MM / 1000), rel=0.02)


def test_a_finer_scale_has_a_shorter_lead() -> None:
    # Gauge of N: 9 mm (NEM 010, from memory). √(2·0.3·0.009) = 73.5 mm.
    layout = layout_of(run("R1"), run("R2", arc(300, 45)))
    layout.apply(set_settings(layout, scale="N"))
    made = only(after(layout, make_turnout(layout, on("R1", 0), start("R2"))), Turnout)
    assert made.lead_m == pytest.approx(0.0735, rel=0.01)


@pytest.mark.parametrize(("length_mm", "lead_m"), [(400.0, LEAD_M), (80.0, 0.08)])
def test_a_leg_that_never_parts_has_the_usual_lead(
    length_mm: float, lead_m: float
) -> None:
    layout = layout_of(run("R1"), run("R2", straight(length_mm)))
    made = only(after(layout, make_turnout(layout, on("R1", 0), start("R2"))), Turnout)
    assert made.lead_m == pytest.approx(lead_m)


def test_a_loop_comes_back_to_the_side_of_its_own_track() -> None:
    """A balloon: right 60°, left 300°, right 60° comes back to the toe, mirrored.

    From the toe the through track bends right and the leg, walked backwards, bends
    left with the same radius R = 600. They part by 2·R·(1 − cos θ)·cos θ, measured
    across the through track: nearly s²/R, so s = √(R·gauge) = 99.5 mm.
    """
    balloon = run(
        "R1", straight(1000), arc(600, -60), arc(600, 300), arc(600, -60), x=-1000
    )
    layout = layout_of(balloon)
    made = only(after(layout, make_turnout(layout, on("R1", 1.0), end("R1"))), Turnout)
    assert (made.opens, made.hand) == ("forward", "left")
    assert made.lead_m == pytest.approx(sqrt(0.6 * GAUGE_MM / 1000), rel=0.02)
