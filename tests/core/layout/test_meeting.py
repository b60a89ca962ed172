"""Where tracks cross in plan, against circles and lines worked by hand."""

from math import cos, radians, sin, sqrt

import pytest
from msgspec.structs import replace

from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.meeting import LEVEL_MM, find_plan_crossings
from core.layout.parts import Arc, Piece, Straight, TrackRun


def run(
    number: int,
    x_mm: float,
    y_mm: float,
    heading_deg: float,
    *pieces: Piece,
    level_mm: float = 0.0,
) -> TrackRun:
    return TrackRun(
        id=PartId(f"R{number}"),
        x_mm=x_mm,
        y_mm=y_mm,
        heading_deg=heading_deg,
        pieces=pieces,
        level_mm=level_mm,
    )


def found_in(*runs: TrackRun) -> list[tuple[float, float, float, float]]:
    """Return a_m, b_m, x and y of each crossing."""
    layout = Layout({track.id: track for track in runs})
    return [
        (f.a.position_m, f.b.position_m, f.x_mm, f.y_mm)
        for f in find_plan_crossings(layout)
    ]


@pytest.mark.parametrize("angle_deg", [6.0, 30.0, 90.0, 150.0, 174.0, -45.0])
def test_two_straights_cross_where_they_were_laid_to(angle_deg: float) -> None:
    way = radians(angle_deg)
    across = run(
        2, 700 - 400 * cos(way), -400 * sin(way), angle_deg, Straight(length_mm=1000.0)
    )
    (found,) = found_in(run(1, 0, 0, 0, Straight(length_mm=2000.0)), across)
    assert found == pytest.approx((0.7, 0.4, 700.0, 0.0), abs=1e-6)


def test_a_circle_crosses_a_line_twice() -> None:
    # By hand: a circle of 500 mm about (1000, 0), from its lowest point leftwards
    # round; the line y = 300 cuts it at x = 1000 ± 400. Its places: a quarter and
    # an asin(0.6) on from the bottom, and the same on the way down.
    circle = run(1, 1000, -500, 0, Arc(radius_mm=500.0, sweep_deg=360.0))
    line = run(2, 0, 300, 0, Straight(length_mm=2000.0))
    first, second = found_in(circle, line)
    turn = radians(90.0) + 0.6435011087932844  # asin 0.6
    assert first == pytest.approx((0.5 * turn, 1.4, 1400.0, 300.0), abs=1e-6)
    assert second[1:] == pytest.approx((0.6, 600.0, 300.0), abs=1e-6)


def test_two_circles_cross_at_the_corners_of_their_lens() -> None:
    # By hand: radii 500, middles 600 apart: at half way, 400 aside.
    one = run(1, 0, -500, 0, Arc(radius_mm=500.0, sweep_deg=360.0))
    other = run(2, 600, -500, 0, Arc(radius_mm=500.0, sweep_deg=360.0))
    spots = sorted((round(x, 6), round(y, 6)) for _, _, x, y in found_in(one, other))
    assert spots == [(300.0, -400.0), (300.0, 400.0)]


def test_a_figure_of_eight_crosses_itself_once() -> None:
    # By hand: out at 45°, three quarters round a circle that both diagonals touch.
    # A circle of radius r about (d, 0) touches them where d = r·√2, r from the
    # middle: so with straights of r the track comes back through the middle.
    r = 400.0
    lobe = (Arc(radius_mm=r, sweep_deg=-270.0), Straight(length_mm=2 * r))
    back = (Arc(radius_mm=r, sweep_deg=270.0), Straight(length_mm=r))
    eight = run(1, 0, 0, 45, Straight(length_mm=r), *lobe, *back)
    assert found_in(eight) == []  # it begins and ends in the middle
    start = -0.5 * r / sqrt(2.0)
    shifted = run(
        1, start, start, 45, Straight(length_mm=1.5 * r), *lobe, back[0],
        Straight(length_mm=0.5 * r),
    )  # fmt: skip
    ((a_m, b_m, x, y),) = found_in(shifted)
    assert (x, y) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert a_m == pytest.approx(0.2)
    assert b_m == pytest.approx(0.2 + 2 * 0.4 + 0.4 * radians(270.0))


def test_tracks_side_by_side_end_to_end_or_out_of_each_other_do_not_cross() -> None:
    straight = Straight(length_mm=1000.0)
    main = run(1, 0, 0, 0, straight)
    assert found_in(main, run(2, 0, 60, 0, straight)) == []
    assert found_in(main, run(2, 1000, 0, 0, straight)) == []
    assert found_in(main, run(2, 300, 0, 0, Arc(radius_mm=400.0, sweep_deg=30.0))) == []
    assert found_in(main, run(2, 500, 0, 90, straight)) == []  # a T
    assert (
        found_in(main, run(2, 500, 500, 0, Arc(radius_mm=500.0, sweep_deg=90.0))) == []
    )


def test_a_run_drawn_the_other_way_crosses_at_the_same_spot() -> None:
    circle = run(1, 1000, -500, 0, Arc(radius_mm=500.0, sweep_deg=360.0))
    line = run(2, 0, 300, 0, Straight(length_mm=2000.0))
    layout = Layout({"R1": circle, "R2": line})  # type: ignore[dict-item]
    before = sorted((f.x_mm, f.y_mm) for f in find_plan_crossings(layout))
    layout.apply(reverse_run(layout, PartId("R1")))
    after = sorted((f.x_mm, f.y_mm) for f in find_plan_crossings(layout))
    assert after == [pytest.approx(spot, abs=1e-6) for spot in before]


def test_a_track_that_climbs_has_its_height_at_the_place() -> None:
    # By hand: 90 mm over its length, crossed a third of the way along: 30 mm.
    climbing = replace(
        run(1, -500, 0, 0, Straight(length_mm=1500.0)), level_end_mm=90.0
    )
    across = run(2, 0, -500, 90, Straight(length_mm=1000.0))
    (found,) = find_plan_crossings(Layout({climbing.id: climbing, across.id: across}))
    assert found.apart_mm == pytest.approx(30.0)
    assert not found.is_level


@pytest.mark.parametrize(
    ("apart_mm", "level"), [(0.0, True), (20.0, True), (21.0, False)]
)
def test_height_tells_a_crossing_from_a_bridge(apart_mm: float, *, level: bool) -> None:
    assert LEVEL_MM == 20.0
    one = run(1, -500, 0, 0, Straight(length_mm=1000.0))
    other = run(2, 0, -500, 90, Straight(length_mm=1000.0), level_mm=apart_mm)
    (found,) = find_plan_crossings(Layout({one.id: one, other.id: other}))
    assert found.is_level is level
