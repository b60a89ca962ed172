"""Where words are put, at 1 px a millimetre."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtWidgets import QApplication

from app.canvas.look import Look
from app.canvas.words.label import Label, spot_beside
from app.canvas.words.lettering import Style
from app.canvas.words.placer import Footprint, Placer, points_between
from app.session.theme import LIGHT

AREA = QRectF(-500.0, -500.0, 1000.0, 1000.0)
STYLE = Style("#000000")
ABOVE, BELOW = (0.0, -20.0), (0.0, 20.0)


@pytest.fixture
def look(qapp: QApplication) -> Look:
    made = Look(LIGHT)
    made.px_per_mm = 1.0
    return made


def label(text: str = "D14", *, must: bool = False) -> Label:
    return Label(text, STYLE, QPointF(0.0, 0.0), (ABOVE, BELOW), must=must)


def wall(y_mm: float, *, firm: bool = True) -> Footprint:
    return Footprint(points_between((-200.0, y_mm), (200.0, y_mm), 4.0), firm)


def test_the_best_spot_is_taken_where_it_is_free(look: Look) -> None:
    assert Placer(look, AREA).place(label()) == ABOVE


def test_a_spot_on_track_is_left_for_the_next(look: Look) -> None:
    placer = Placer(look, AREA)
    placer.cover(wall(20.0))  # 20 mm up in plan is 20 px up on the screen
    assert placer.place(label()) == BELOW


def test_words_keep_clear_of_each_other(look: Look) -> None:
    placer = Placer(look, AREA)
    assert [placer.place(label()), placer.place(label())] == [ABOVE, BELOW]


def test_a_word_without_a_free_spot_is_left_out_unless_it_must_be(look: Look) -> None:
    placer = Placer(look, AREA)
    placer.cover(wall(20.0))
    placer.cover(wall(-20.0))
    assert placer.place(label()) is None
    assert placer.place(label(must=True)) == ABOVE


def test_a_word_that_must_be_hides_as_little_as_it_can(look: Look) -> None:
    placer = Placer(look, AREA)
    placer.place(Label("SW1 Contact", STYLE, QPointF(0.0, 0.0), (ABOVE,)))
    placer.cover(Footprint(points_between((0.0, -24.0), (2.0, -16.0), 4.0)))
    assert placer.place(label("LO1, gate", must=True)) == BELOW


def test_words_that_must_be_never_lie_over_each_other(look: Look) -> None:
    placer = Placer(look, AREA)
    placer.cover(wall(20.0))
    names = [label(name, must=True) for name in ("CB1 West", "CB2 East", "CB3 Yard")]
    assert [placer.place(name) for name in names] == [BELOW, ABOVE, None]


def test_a_thin_lead_is_crossed_rather_than_leaving_a_word_out(look: Look) -> None:
    placer = Placer(look, AREA)
    placer.cover(wall(20.0, firm=False))
    assert placer.place(label()) == BELOW
    placer.cover(wall(-20.0))
    assert placer.place(label()) == ABOVE


def test_from_below_the_screen_is_mirrored(look: Look) -> None:
    look.set_underside(underside=True)
    placer = Placer(look, AREA)
    # A wall to the right in plan lies to the left on the screen.
    placer.cover(Footprint(points_between((60.0, -50.0), (60.0, 50.0), 4.0)))
    left, right = (-60.0, 0.0), (60.0, 0.0)
    word = Label("D1", STYLE, QPointF(0.0, 0.0), (left, right))
    assert placer.place(word) == right


def test_a_word_beside_a_point_has_its_edge_at_the_gap(look: Look) -> None:
    width, height = look.words.size("D14", STYLE)
    assert spot_beside(look, "D14", STYLE, (1.0, 0.0), 5.0) == pytest.approx(
        (5.0 + width / 2, 0.0)
    )
    # Up in plan is up on the screen: negative.
    assert spot_beside(look, "D14", STYLE, (0.0, 1.0), 5.0) == pytest.approx(
        (0.0, -5.0 - height / 2)
    )


def test_points_between_are_close_enough() -> None:
    points = points_between((0.0, 0.0), (100.0, 0.0), 7.0)
    assert float(np.diff(points[:, 0]).max()) <= 7.0
    assert points[0].tolist() == [0.0, 0.0]
    assert points[-1].tolist() == [100.0, 0.0]
