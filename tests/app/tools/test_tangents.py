"""Tangent links and the next piece, against figures worked by hand."""

from math import pi, radians

import pytest

from app.tools.track.aim import Aiming, first_straight, next_piece, typed_piece
from app.tools.track.tangents import link_poses
from app.tools.track.trail import walk
from core.layout.geometry import Pose
from core.layout.parts import Arc, Straight

ORIGIN = Pose(0.0, 0.0, 0.0)
LOOSE = Aiming(step_mm=1.0, mm_per_px=1.0, loose=True)
ROUND = Aiming(step_mm=10.0, mm_per_px=1.0)


def test_a_pose_straight_ahead_is_linked_by_one_straight() -> None:
    assert link_poses(ORIGIN, Pose(1200.0, 0.0, 0.0)) == (Straight(length_mm=1200.0),)


def test_a_half_turn_is_one_arc() -> None:
    # From the origin heading right, to 1200 mm above heading back: r = 1200 / 2.
    pieces = link_poses(ORIGIN, Pose(0.0, 1200.0, pi))
    assert pieces is not None
    assert len(pieces) == 1
    assert isinstance(pieces[0], Arc)
    assert pieces[0].radius_mm == pytest.approx(600.0)
    assert pieces[0].sweep_deg == pytest.approx(180.0)


def test_a_corner_is_rounded_with_the_greatest_radius_that_fits() -> None:
    # Right for 1000, then up for 400: the lines meet at (1000, 0); the shorter
    # leg is 400, so the quarter arc has r = 400 / tan 45° and 600 stay straight.
    pieces = link_poses(ORIGIN, Pose(1000.0, 400.0, pi / 2))
    assert pieces is not None
    straight, arc = pieces
    assert isinstance(straight, Straight)
    assert isinstance(arc, Arc)
    assert straight.length_mm == pytest.approx(600.0)
    assert (arc.radius_mm, arc.sweep_deg) == pytest.approx((400.0, 90.0))


def test_a_sidestep_is_two_equal_arcs() -> None:
    # 400 on and 100 aside, same direction: each arc does half of both. For one
    # arc from (0, 0) to (200, 50): half turn = atan(50/200) = 14.036°, so the
    # sweep is 28.07° and r = 206.155 / (2 sin 14.036°) = 425.
    pieces = link_poses(ORIGIN, Pose(400.0, 100.0, 0.0))
    assert pieces is not None
    first, second = pieces
    assert isinstance(first, Arc)
    assert isinstance(second, Arc)
    assert first.radius_mm == pytest.approx(425.0)
    assert second.radius_mm == pytest.approx(425.0)
    assert first.sweep_deg == pytest.approx(28.0725, abs=1e-3)
    assert second.sweep_deg == pytest.approx(-28.0725, abs=1e-3)


@pytest.mark.parametrize(
    "goal",
    [
        Pose(900.0, 250.0, radians(30)),
        Pose(-300.0, 800.0, radians(200)),
        Pose(500.0, -700.0, radians(-75)),
        Pose(1000.0, 400.0, radians(135)),
    ],
)
def test_every_link_arrives_in_place_and_in_line(goal: Pose) -> None:
    pieces = link_poses(ORIGIN, goal)
    assert pieces is not None
    end = walk(ORIGIN, pieces).end
    assert (end.x_mm, end.y_mm) == pytest.approx((goal.x_mm, goal.y_mm), abs=0.05)
    assert (end.heading - goal.heading) % (2 * pi) == pytest.approx(0.0, abs=1e-3) or (
        goal.heading - end.heading
    ) % (2 * pi) == pytest.approx(0.0, abs=1e-3)


def test_what_is_too_tight_is_not_linked() -> None:
    assert link_poses(ORIGIN, Pose(0.0, 10.0, pi)) is None


def test_the_first_piece_goes_to_the_pointer() -> None:
    heading, piece = first_straight((0.0, 0.0), (300.0, 400.0), LOOSE) or (None, None)
    assert heading == pytest.approx(53.1301, abs=1e-3)  # atan(4/3)
    assert piece == Straight(length_mm=500.0)


def test_the_first_piece_is_pulled_to_a_round_angle_and_length() -> None:
    found = first_straight((0.0, 0.0), (1204.0, 6.0), ROUND)
    assert found == (0.0, Straight(length_mm=1200.0))


def test_a_pointer_nearly_ahead_gives_a_straight() -> None:
    assert next_piece(ORIGIN, (1203.0, 4.0), ROUND) == Straight(length_mm=1200.0)


def test_a_pointer_aside_gives_a_tangent_arc() -> None:
    # To (600, 600): half turn 45°, so a quarter turn of radius 600.
    piece = next_piece(ORIGIN, (600.0, 600.0), LOOSE)
    assert isinstance(piece, Arc)
    assert (piece.radius_mm, piece.sweep_deg) == pytest.approx((600.0, 90.0))


def test_an_arc_is_pulled_to_a_round_sweep_and_radius() -> None:
    piece = next_piece(ORIGIN, (603.0, 598.0), ROUND)
    assert piece == Arc(radius_mm=600.0, sweep_deg=90.0)


def test_an_arc_to_the_right_has_a_negative_sweep() -> None:
    assert next_piece(ORIGIN, (603.0, -598.0), ROUND) == Arc(
        radius_mm=600.0, sweep_deg=-90.0
    )


def test_nothing_is_drawn_to_where_the_pointer_already_is() -> None:
    assert next_piece(ORIGIN, (0.2, 0.1), ROUND) is None
    assert first_straight((0.0, 0.0), (0.2, 0.1), ROUND) is None


@pytest.mark.parametrize(
    ("to", "sweep", "wanted"),
    [
        ((500.0, 100.0), 90.0, 90.0),
        ((500.0, -100.0), 90.0, -90.0),
        ((500.0, 100.0), -45.0, -45.0),
        # Without a sweep: abreast of the pointer, seen from the centre (0, 600).
        ((600.0, 600.0), None, 90.0),
        ((-700.0, 600.0), None, 270.0),
    ],
)
def test_a_typed_arc_turns_to_the_side_of_the_pointer(
    to: tuple[float, float], sweep: float | None, wanted: float
) -> None:
    arc = typed_piece(ORIGIN, to, 600.0, sweep)
    assert (arc.radius_mm, arc.sweep_deg) == pytest.approx((600.0, wanted))
