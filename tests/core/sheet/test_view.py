"""From plan millimetres to paper, from above and below."""

from typing import Literal

import pytest

from core.layout.parts import Edge
from core.sheet.drawing.view import OVERLAP, best_scale, tile_views, whole_view
from core.sheet.frame import Box

BOARD = (0.0, 0.0, 2400.0, 1200.0)
WINDOW = Box(10.0, 10.0, 270.0, 160.0)


def test_from_below_left_and_right_change_places() -> None:
    # Needs N60: 0.35 m from the left of a 2.40 m board prints at 2.40 - 0.35 = 2.05.
    view = whole_view(BOARD, WINDOW, 10.0, mirrored=True)
    left_on_paper, _ = view.at(2400.0, 0.0)
    x, _ = view.at(350.0, 0.0)
    assert (x - left_on_paper) * 10.0 == pytest.approx(2050.0)


def test_from_below_front_and_back_do_not() -> None:
    view = whole_view(BOARD, WINDOW, 10.0, mirrored=True)
    assert view.at(0.0, 0.0)[1] > view.at(0.0, 1200.0)[1]


def test_from_above_the_back_is_up_and_the_left_is_left() -> None:
    view = whole_view(BOARD, WINDOW, 10.0)
    assert view.at(0.0, 1200.0)[1] < view.at(0.0, 0.0)[1]
    assert view.at(0.0, 0.0)[0] < view.at(2400.0, 0.0)[0]


def test_a_scale_is_kept() -> None:
    view = whole_view(BOARD, WINDOW, 20.0)
    assert view.at(2400.0, 0.0)[0] - view.at(0.0, 0.0)[0] == pytest.approx(120.0)


def test_a_drawing_stands_in_the_middle() -> None:
    view = whole_view(BOARD, WINDOW, 10.0)
    assert view.at(1200.0, 600.0) == pytest.approx((140.0, 85.0))


@pytest.mark.parametrize(
    ("aisle", "middle"),
    [
        ("front", (1200.0, 0.0)),
        ("back", (1200.0, 1200.0)),
        ("left", (0.0, 600.0)),
        ("right", (2400.0, 600.0)),
    ],
)
def test_the_aisle_is_at_the_foot_of_the_page(
    aisle: Edge, middle: tuple[float, float]
) -> None:
    view = whole_view(BOARD, WINDOW, 20.0, mirrored=True, down=aisle)
    x, y = view.at(*middle)
    centre_x, centre_y = view.at(1200.0, 600.0)
    assert x == pytest.approx(centre_x)
    assert y > centre_y


@pytest.mark.parametrize("aisle", ["front", "back", "left", "right"])
def test_from_below_is_a_mirror_image_whichever_way_it_is_turned(aisle: Edge) -> None:
    # Seen from above with the page's y downwards, x × y turns one way; mirrored,
    # the other: the sign of the determinant tells, however it is turned.
    above = whole_view(BOARD, WINDOW, 20.0, down=aisle)
    below = whole_view(BOARD, WINDOW, 20.0, mirrored=True, down=aisle)
    assert _turn(above.direction(1, 0), above.direction(0, 1)) == pytest.approx(-1.0)
    assert _turn(below.direction(1, 0), below.direction(0, 1)) == pytest.approx(1.0)


def _turn(a: tuple[float, float], b: tuple[float, float]) -> float:
    return a[0] * b[1] - a[1] * b[0]


@pytest.mark.parametrize(
    ("region", "system", "scale"),
    [
        # 2400 / 260 = 9.2 and 1200 / 150 = 8.0: the next round scale is 10.
        (BOARD, "m", 10.0),
        # The same in feet: an inch to the foot.
        (BOARD, "ft", 12.0),
        # 14000 / 260 = 53.8.
        ((0.0, 0.0, 14000.0, 600.0), "m", 75.0),
    ],
)
def test_the_scale_is_the_largest_round_one_that_fits(
    region: tuple[float, float, float, float],
    system: Literal["m", "ft"],
    scale: float,
) -> None:
    assert best_scale(region, WINDOW, system) == scale


def test_a_region_that_fits_is_one_tile_without_a_name() -> None:
    tiles = tile_views(BOARD, WINDOW, 10.0)
    assert [tile.name for tile in tiles] == [""]


def test_a_large_region_is_cut_into_tiles_that_overlap() -> None:
    # At 1:5 the board is 480 by 240 mm: 260 + 252 wide and 150 + 142 tall cover it.
    tiles = tile_views(BOARD, WINDOW, 5.0)
    assert [tile.name for tile in tiles] == ["A1", "B1", "A2", "B2"]
    first, second = tiles[0].view.at(0.0, 0.0)[0], tiles[1].view.at(0.0, 0.0)[0]
    assert first - second == pytest.approx(260.0 - OVERLAP)


@pytest.mark.parametrize("place", [(0.0, 0.0), (2400.0, 1200.0), (1199.0, 601.0)])
def test_every_place_is_on_some_tile(place: tuple[float, float]) -> None:
    assert any(t.view.shows(*place) for t in tile_views(BOARD, WINDOW, 5.0))


def test_the_region_of_a_view_is_what_its_window_shows() -> None:
    view = whole_view(BOARD, WINDOW, 10.0, mirrored=True, down="back")
    # 260 by 150 mm of paper at 1:10 round the middle of the board.
    assert view.region(0.0) == pytest.approx((-100.0, -150.0, 2500.0, 1350.0))


def test_a_cut_view_ends_beside_its_region() -> None:
    view = whole_view(BOARD, WINDOW, 10.0).cut_to(BOARD, 5.0)
    # The board is 240 by 120 mm about (140, 85).
    assert view.window == Box(15.0, 20.0, 265.0, 150.0)


def test_a_board_turned_sideways_is_measured_sideways() -> None:
    # 1200 across and 2400 up: 2400 / 150 = 16, so 1:20.
    assert best_scale(BOARD, WINDOW, "m", "left") == 20.0
