"""The shape of a turnout: crossing angle, radius, lead."""

from math import atan, cos, degrees, sin, sqrt

from core.layout.bends import Bend, bends_from, combined, end_of, pieces_of
from core.layout.branching import Branching, usual_branching
from core.layout.geometry import Pose, run_path
from core.layout.parts import Arc, Straight
from core.materials.scales import GAUGES_MM
from tests.core.layout.edits.hand import arc, near, run, straight

GAUGE_MM = 16.5


def test_a_crossing_one_in_six_by_hand() -> None:
    # tan α = 1/6: α = 9.4623°. tan(α/2) = (√37 − 6) / 1 = 0.0827625 (half-angle of a
    # 1-6-√37 triangle), so lead = 16.5 / 0.0827625 = 199.37 mm and
    # R = 8.25 / 0.0827625² = 1204.4 mm.
    shape = Branching.of_number(6.0, GAUGE_MM)
    half = sqrt(37.0) - 6.0
    assert shape.angle_deg == near(degrees(atan(1.0 / 6.0)))
    assert shape.lead_mm(GAUGE_MM) == near(16.5 / half)
    assert shape.radius_mm == near(8.25 / half**2)
    assert shape.lead_mm(GAUGE_MM) == near(199.37, abs=0.01)


def test_the_lead_is_about_two_gauges_times_the_number() -> None:
    # The handbook rule for curve leads, 2·G·N (railway engineering textbooks, from
    # memory), is meant for flat crossings: within 1 % from 1 in 8 on.
    for number in (8.0, 12.0, 16.0):
        lead = Branching.of_number(number, GAUGE_MM).lead_mm(GAUGE_MM)
        assert lead == near(2.0 * GAUGE_MM * number, rel=0.01)


def test_rails_cross_where_the_lead_says() -> None:
    # The leg's outer rail, radius R + g/2 about (0, R), at the angle of the crossing:
    # it must lie on the straight inner rail, y = g/2, at x = lead.
    shape = Branching.of_radius(600.0, GAUGE_MM)
    turn = shape.angle_deg * 3.141592653589793 / 180.0
    outer = 600.0 + 0.5 * GAUGE_MM
    assert 600.0 - outer * cos(turn) == near(0.5 * GAUGE_MM)
    assert outer * sin(turn) == near(shape.lead_mm(GAUGE_MM))


def test_a_leg_that_stops_bending_early_crosses_further_on() -> None:
    # R 600 bent by 5°: 600·0.0872665 = 52.36 mm, off by 600·(1 − cos 5°) = 2.283 mm;
    # the other 14.217 mm take 14.217 / sin 5° = 163.1 mm.
    assert Branching(600.0, 5.0).lead_mm(GAUGE_MM) == near(215.5, abs=0.1)


def test_every_scale_has_a_usual_shape() -> None:
    for scale, gauge in GAUGES_MM.items():
        shape = usual_branching(scale, gauge)
        assert shape.lead_mm(gauge) / gauge == near(
            {"O": 10.1, "G": 6.16}.get(scale, 12.08), rel=0.01
        )


def test_bends_are_read_off_a_path_either_way() -> None:
    path = run_path(run("R1", straight(500), arc(400, 90)))
    assert bends_from(path, 0.3, 300, forward=True) == (
        Bend(near(200), 0.0),
        Bend(near(100), near(1 / 400)),
    )
    # Walked back, a curve to the left bends to the right; past the start it goes on.
    back = bends_from(path, 0.6, 800, forward=False)
    assert back == (
        Bend(near(100), near(-1 / 400)),
        Bend(near(500), 0.0),
        Bend(near(200), 0.0),
    )
    beyond = bends_from(path, path.length_m, 50, forward=True)
    assert beyond == (Bend(50, near(1 / 400)),)


def test_bends_add_up_stretch_by_stretch() -> None:
    one = (Bend(100, 0.0), Bend(100, 0.001))
    other = (Bend(150, 0.002), Bend(50, 0.0))
    assert combined(one, other, lambda a, b: a + b) == (
        Bend(100, 0.002),
        Bend(50, 0.003),
        Bend(50, 0.001),
    )


def test_bends_become_pieces_and_places() -> None:
    bends = (Bend(100, 0.0), Bend(50, 0.0), Bend(785.3981634, 0.002))
    assert pieces_of(bends) == (
        Straight(length_mm=150),
        Arc(radius_mm=near(500), sweep_deg=near(90)),
    )
    there = end_of(Pose(0, 0, 0), bends)
    assert (there.x_mm, there.y_mm) == (near(650), near(500))
