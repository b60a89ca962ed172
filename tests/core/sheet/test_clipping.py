"""Lines are cut at the edge of what a page shows."""

from core.sheet.drawing.clipping import (
    aside,
    clip_line,
    clip_shape,
    length_of,
    point_along,
)
from core.sheet.frame import Box

WINDOW = Box(0.0, 0.0, 10.0, 10.0)


def test_a_line_through_the_window_is_cut_at_both_edges() -> None:
    assert clip_line(((-5.0, 5.0), (15.0, 5.0)), WINDOW) == [((0.0, 5.0), (10.0, 5.0))]


def test_a_line_that_misses_the_window_is_left_out() -> None:
    assert clip_line(((-5.0, 11.0), (15.0, 11.0)), WINDOW) == []


def test_a_line_that_leaves_and_comes_back_is_two() -> None:
    line = ((2.0, 2.0), (2.0, 20.0), (8.0, 20.0), (8.0, 2.0))
    assert clip_line(line, WINDOW) == [
        ((2.0, 2.0), (2.0, 10.0)),
        ((8.0, 10.0), (8.0, 2.0)),
    ]


def test_a_line_inside_keeps_its_corners() -> None:
    line = ((1.0, 1.0), (9.0, 1.0), (9.0, 9.0))
    assert clip_line(line, WINDOW) == [line]


def test_a_shape_over_a_corner_keeps_what_is_inside() -> None:
    shape = ((8.0, 8.0), (12.0, 8.0), (12.0, 12.0), (8.0, 12.0))
    assert set(clip_shape(shape, WINDOW)) == {
        (8.0, 8.0),
        (10.0, 8.0),
        (10.0, 10.0),
        (8.0, 10.0),
    }


def test_a_shape_outside_is_nothing() -> None:
    assert clip_shape(((11.0, 1.0), (12.0, 1.0), (12.0, 2.0)), WINDOW) == ()


def test_left_of_a_line_to_the_right_is_up_the_page() -> None:
    assert aside(((0.0, 5.0), (10.0, 5.0)), 1.0) == ((0.0, 4.0), (10.0, 4.0))


def test_a_corner_is_mitred() -> None:
    # To the right, then down the page; 1 to the left lies outside the corner.
    line = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    assert aside(line, 1.0) == ((0.0, -1.0), (11.0, -1.0), (11.0, 10.0))


def test_a_line_that_turns_back_has_no_spike() -> None:
    line = ((0.0, 0.0), (10.0, 0.0), (0.0, 0.1))
    assert max(x for x, _ in aside(line, 1.0)) < 11.5


def test_points_that_repeat_do_no_harm() -> None:
    line = ((0.0, 0.0), (0.0, 0.0), (10.0, 0.0))
    assert aside(line, 1.0) == ((0.0, -1.0), (10.0, -1.0))


def test_length_and_places_along_a_line() -> None:
    line = ((0.0, 0.0), (3.0, 0.0), (3.0, 4.0))
    assert length_of(line) == 7.0
    assert point_along(line, 5.0) == ((3.0, 2.0), (0.0, 1.0))


def test_a_line_of_one_place_stays_as_it_is() -> None:
    line = ((4.0, 4.0), (4.0, 4.0))
    assert aside(line, 1.0) == line


def test_beyond_the_end_of_a_line_is_its_end() -> None:
    assert point_along(((0.0, 0.0), (3.0, 0.0)), 9.0)[0] == (3.0, 0.0)
