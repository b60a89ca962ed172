"""Paths in plan against figures worked by hand (trigonometry in the comments)."""

from itertools import pairwise
from math import cos, hypot, pi, radians, sin, sqrt

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.layout.geometry import (
    Path,
    Pose,
    arc_to,
    bus_path,
    piece_length_mm,
    run_path,
)
from core.layout.ids import PartId
from core.layout.parts import Arc, Bus, Piece, Point, Straight, TrackRun
from tests.core.layout.strategies import lengths_mm, pieces

NEAR = 1e-9
"""Rounding of sums of some thousand millimetres. [mm]"""


def path(*shape: Piece, x: float = 0.0, y: float = 0.0, heading: float = 0.0) -> Path:
    run = TrackRun(id=PartId("R1"), x_mm=x, y_mm=y, heading_deg=heading, pieces=shape)
    return run_path(run)


def straight(length_mm: float) -> Straight:
    return Straight(length_mm=length_mm)


def arc(radius_mm: float, sweep_deg: float) -> Arc:
    return Arc(radius_mm=radius_mm, sweep_deg=sweep_deg)


def assert_pose(pose: Pose, x: float, y: float, heading_deg: float) -> None:
    assert (pose.x_mm, pose.y_mm) == pytest.approx((x, y), abs=NEAR)
    assert pose.heading == pytest.approx(radians(heading_deg))


QUARTER = path(arc(500, 90))
"""From the origin to the right, then up: centre (0, 500), end (500, 500)."""


# Ends ---------------------------------------------------------------------------


def test_a_straight_ends_along_its_heading() -> None:
    # cos 30° = √3/2, sin 30° = 1/2
    end = path(straight(2000), x=100, y=200, heading=30).end
    assert_pose(end, 100 + 1000 * sqrt(3), 1200, 30)


@pytest.mark.parametrize(
    ("piece", "x", "y", "heading_deg"),
    [
        (arc(500, 90), 500, 500, 90),
        (arc(500, -90), 500, -500, -90),
        (arc(500, 180), 0, 1000, 180),
        (arc(500, 360), 0, 0, 360),
        # R·sin 45°, R·(1 − cos 45°)
        (arc(1000, 45), 1000 / sqrt(2), 1000 - 1000 / sqrt(2), 45),
        (arc(1000, -60), 500 * sqrt(3), -500, -60),
    ],
)
def test_an_arc_ends_on_its_circle(
    piece: Arc, x: float, y: float, heading_deg: float
) -> None:
    assert_pose(path(piece).end, x, y, heading_deg)


def test_pieces_go_on_where_the_last_one_ended() -> None:
    # 300 right; a left quarter of 200 to (500, 200); 100 up to (500, 300).
    assert_pose(path(straight(300), arc(200, 90), straight(100)).end, 500, 300, 90)


def test_an_oval_closes() -> None:
    oval = path(straight(1000), arc(500, 180), straight(1000), arc(500, 180), x=-40)
    assert_pose(oval.end, -40, 0, 360)
    assert oval.length_m == pytest.approx(2.0 + pi)  # 2·1000 + 2·π·500 mm


def test_an_s_bend_comes_out_parallel() -> None:
    # Two arcs of 400 and 30° to and fro: along 2·400·sin 30°, aside 2·400·(1 − cos 30°)
    bend = path(arc(400, 30), arc(400, -30))
    assert_pose(bend.end, 400, 800 - 400 * sqrt(3), 0)


# Lengths and positions --------------------------------------------------------------


def test_lengths_are_along_the_centre_line() -> None:
    assert piece_length_mm(straight(123.5)) == 123.5
    assert piece_length_mm(arc(600, -30)) == pytest.approx(100 * pi)  # 600·π/6
    assert QUARTER.length_mm == pytest.approx(250 * pi)


def test_a_position_is_metres_from_the_start() -> None:
    both = path(straight(1000), arc(500, 90))
    assert_pose(both.at(0.25), 250, 0, 0)
    assert_pose(both.at(1.0), 1000, 0, 0)
    # 45° into the arc: 1000 + 500·sin 45°, 500·(1 − cos 45°)
    half = 500 / sqrt(2)
    assert_pose(both.at(1.0 + 0.125 * pi), 1000 + half, 500 - half, 45)


def test_a_position_off_the_path_is_held_at_its_end() -> None:
    line = path(straight(1000))
    assert line.at(-1.0) == line.start
    assert_pose(line.at(5.0), 1000, 0, 0)


def test_a_bus_is_as_long_as_its_legs() -> None:
    corners = ((0, 0), (300, 400), (300, 1000))  # 3-4-5: 500, then 600
    bus = Bus(
        id=PartId("B1"),
        points=tuple(Point(x_mm=x, y_mm=y) for x, y in corners),
    )
    drawn = bus_path(bus)
    assert drawn.length_m == pytest.approx(1.1)
    assert_pose(drawn.at(0.25), 150, 200, 53.13010235415598)  # atan(4/3)
    assert_pose(drawn.at(0.8), 300, 700, 90)


def test_a_bus_with_a_corner_twice_is_still_a_path() -> None:
    at = Point(x_mm=5.0, y_mm=5.0)
    drawn = bus_path(Bus(id=PartId("B1"), points=(at, at)))
    assert drawn.length_m == 0.0
    assert (drawn.at(0.0).x_mm, drawn.end.y_mm) == (5.0, 5.0)
    assert drawn.nearest(8.0, 9.0).distance_mm == pytest.approx(5.0)
    assert len(drawn.line()) == 2


# Poses ------------------------------------------------------------------------------


def test_left_is_left_of_the_direction_of_travel() -> None:
    assert Pose(0, 0, 0).left(8) == pytest.approx((0, 8))
    assert Pose(0, 0, pi / 2).left(8) == pytest.approx((-8, 0))
    assert Pose(0, 0, pi).left(-8) == pytest.approx((0, 8))


def test_turned_round_twice_is_the_same_way() -> None:
    pose = Pose(1, 2, 0.5)
    assert pose.reversed().left(10) == pytest.approx(pose.left(-10))
    back = pose.reversed().reversed()
    assert (cos(back.heading), sin(back.heading)) == pytest.approx((cos(0.5), sin(0.5)))


# Nearest ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("x", "y", "position_m", "distance_mm"),
    [
        (250, -40, 0.25, 40),
        (250, 40, 0.25, 40),
        (-30, 40, 0.0, 50),  # 3-4-5 before the start
        (1030, -40, 1.0, 50),
    ],
)
def test_nearest_on_a_straight(
    x: float, y: float, position_m: float, distance_mm: float
) -> None:
    near = path(straight(1000)).nearest(x, y)
    assert near.position_m == pytest.approx(position_m)
    assert near.distance_mm == pytest.approx(distance_mm)


D45 = 1 / sqrt(2)


@pytest.mark.parametrize(
    ("x", "y", "position_m", "distance_mm"),
    [
        # On the ray from the centre (0, 500) at −45°: 600 out, then 350 out.
        (600 * D45, 500 - 600 * D45, 0.125 * pi, 100),
        (350 * D45, 500 - 350 * D45, 0.125 * pi, 150),
        (-100, 0, 0.0, 100),
        (500, 700, 0.25 * pi, 200),
        (1000, 500, 0.25 * pi, 500),
        (-600, 500, 0.0, hypot(600, 500)),  # across the circle, nearer the start
        (0, 1100, 0.25 * pi, hypot(500, 600)),  # the same, nearer the end
    ],
)
def test_nearest_on_an_arc(
    x: float, y: float, position_m: float, distance_mm: float
) -> None:
    near = QUARTER.nearest(x, y)
    assert near.distance_mm == pytest.approx(distance_mm)
    assert near.position_m == pytest.approx(position_m)


def test_nearest_on_an_arc_to_the_right_is_its_mirror_image() -> None:
    mirrored = path(arc(500, -90))
    near = mirrored.nearest(600 * D45, 600 * D45 - 500)
    assert near.position_m == pytest.approx(0.125 * pi)
    assert near.distance_mm == pytest.approx(100)


def test_nearest_looks_at_every_piece() -> None:
    there = path(straight(1000), arc(500, 180), straight(1000))
    near = there.nearest(400, 990)  # on the way back, 600 mm past the bend
    assert near.position_m == pytest.approx(1.6 + 0.5 * pi)
    assert near.distance_mm == pytest.approx(10)


@given(pieces(), st.floats(0, 1), lengths_mm(-180, 180))
def test_a_point_on_the_path_is_nearest_to_itself(
    shape: tuple[Piece, ...], share: float, heading: float
) -> None:
    drawn = path(*shape, x=12, y=-7, heading=heading)
    pose = drawn.at(drawn.length_m * share)
    near = drawn.nearest(pose.x_mm, pose.y_mm)
    assert near.distance_mm < 1e-6
    again = drawn.at(near.position_m)
    assert hypot(again.x_mm - pose.x_mm, again.y_mm - pose.y_mm) < 1e-6


# Lines -----------------------------------------------------------------------------------


def test_rails_lie_on_circles_half_a_gauge_apart() -> None:
    # 16.5 mm gauge: rails at 8.25 to each side; a left bend is tighter on the left.
    for offset_mm, radius_mm in ((8.25, 491.75), (-8.25, 508.25), (0.0, 500.0)):
        rail = QUARTER.line(offset_mm=offset_mm)
        radii = [hypot(x - 0.0, y - 500.0) for x, y in rail]
        assert radii == pytest.approx([radius_mm] * len(rail))
        assert tuple(rail[0]) == pytest.approx((0.0, offset_mm))
        assert tuple(rail[-1]) == pytest.approx((500.0 - offset_mm, 500.0))


def test_a_straight_is_drawn_by_its_ends() -> None:
    assert path(straight(1000)).line().tolist() == [[0.0, 0.0], [1000.0, 0.0]]


def test_a_part_of_a_path_begins_and_ends_where_asked() -> None:
    both = path(straight(1000), arc(500, 90))
    part = both.line(0.4, 1.0 + 0.125 * pi)
    assert tuple(part[0]) == pytest.approx((400.0, 0.0))
    half = 500 / sqrt(2)
    assert tuple(part[-1]) == pytest.approx((1000 + half, 500 - half))


def test_a_part_without_length_is_two_equal_points() -> None:
    part = path(straight(1000)).line(0.4, 0.4)
    assert part.tolist() == [[400.0, 0.0], [400.0, 0.0]]


@given(pieces(), st.floats(5, 100))
def test_the_steps_of_a_line_are_short_and_add_up(
    shape: tuple[Piece, ...], step_mm: float
) -> None:
    drawn = path(*shape)
    points = drawn.line(step_mm=step_mm)
    steps = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points.tolist())]
    assert sum(steps) <= drawn.length_mm + 1e-6
    # Chords are shorter than arcs by θ²/24; steps of 100 mm on 200 mm radius: 1.1 %.
    assert sum(steps) >= drawn.length_mm * 0.985
    assert tuple(points[-1]) == pytest.approx((drawn.end.x_mm, drawn.end.y_mm))


def test_the_box_of_a_path() -> None:
    # A quarter of 500 fits its square; the 25 mm steps end on both of its corners.
    assert QUARTER.bounds() == pytest.approx((0, 0, 500, 500), abs=1e-9)
    back = path(straight(300), heading=180, x=10, y=20)
    assert back.bounds() == pytest.approx((-290, 20, 10, 20))


# Arcs that leave in line and end at a point --------------------------------------------------


@pytest.mark.parametrize(
    ("x", "y", "radius_mm", "sweep_deg"),
    [
        (500, 500, 500, 90),
        (500, -500, 500, -90),
        (0, 1000, 500, 180),
        (0, -1000, 500, -180),
        (-500, 500, 500, 270),
        # 45° of radius 1000
        (1000 * D45, 1000 - 1000 * D45, 1000, 45),
    ],
)
def test_the_arc_to_a_point(
    x: float, y: float, radius_mm: float, sweep_deg: float
) -> None:
    found = arc_to(Pose(0, 0, 0), x, y)
    assert found is not None
    assert found.radius_mm == pytest.approx(radius_mm)
    assert found.sweep_deg == pytest.approx(sweep_deg)


@pytest.mark.parametrize(("x", "y"), [(1000, 0), (0, 0), (700, 1e-5), (-50, 0)])
def test_straight_ahead_or_behind_there_is_no_arc(x: float, y: float) -> None:
    assert arc_to(Pose(0, 0, 0), x, y) is None


@given(lengths_mm(-180, 180), lengths_mm(-2000, 2000), lengths_mm(-2000, 2000))
def test_the_arc_to_a_point_ends_there(heading: float, dx: float, dy: float) -> None:
    found = arc_to(Pose(30, -40, radians(heading)), 30 + dx, -40 + dy)
    if found is None:
        return
    assert msgspec.convert(msgspec.to_builtins(found), Arc) == found
    end = path(found, x=30, y=-40, heading=heading).end
    assert (end.x_mm, end.y_mm) == pytest.approx((30 + dx, -40 + dy), abs=1e-3)
