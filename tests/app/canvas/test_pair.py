"""The two lines of a pair: dashes whose phase is the way's own, and no needless corner."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.canvas.lines.chunks import BUNCH, Floats
from app.canvas.lines.dashes import Dashes
from app.canvas.lines.pair import without_straights

LONG = np.array(((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0)))
"""13 m with one corner. [mm]"""


def all_ends(dashes: Dashes) -> Floats:
    return np.concatenate([dashes.ends(i) for i in range(dashes.bunches)])


def test_dashes_lie_at_even_steps_from_the_start_of_the_way() -> None:
    # A step of 11 mm on 13 m: 1181 whole ones and 9 mm, which hold one dash more.
    straight = np.array(((0.0, 5.0), (13_000.0, 5.0)))
    x0, y0, x1, y1 = all_ends(Dashes(straight, (7.0, 4.0))).T
    assert x0 == pytest.approx(11.0 * np.arange(1182))
    assert x1 - x0 == pytest.approx(np.full(1182, 7.0))
    assert {*y0.tolist(), *y1.tolist()} == {5.0}


def test_a_dash_that_meets_a_corner_goes_round_it() -> None:
    # 128 mm a step: the 71st dash begins at 8960 mm; 40 mm of its 70 lead to the
    # corner, 30 mm on from there.
    found = all_ends(Dashes(LONG, (70.0, 58.0)))
    bent = [row for row in found.tolist() if row[2] == 9000.0 or row[0] == 9000.0]
    assert bent[0] == pytest.approx([8960.0, 0.0, 9000.0, 0.0])
    assert bent[1] == pytest.approx([9000.0, 0.0, 9000.0, 30.0])


def test_a_way_shorter_than_a_dash_is_all_drawn() -> None:
    short = np.array(((5.0, 5.0), (8.0, 9.0)))  # 5 mm
    assert Dashes(short, (7.0, 4.0)).ends(0) == pytest.approx(
        np.array([[5.0, 5.0, 8.0, 9.0]])
    )


def test_only_dashes_in_view_are_made(qapp: QApplication) -> None:
    dashes = Dashes(LONG, (7.0, 4.0))
    image = QImage(8, 8, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    drawn = dashes.draw(painter, QRectF(5000.0, -5.0, 40.0, 10.0), 1.0)
    painter.end()
    assert drawn == BUNCH


@pytest.mark.parametrize("left_px", [0, 37, 64, 101])
def test_dashes_painted_strip_by_strip_are_those_painted_at_once(
    qapp: QApplication, left_px: int
) -> None:
    def painted(*strips: QRectF) -> QImage:
        image = QImage(200, 20, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFF)
        painter = QPainter(image)
        dashes = Dashes(np.array(((-500.0, 10.0), (700.0, 10.0))), (7.0, 4.0))
        for strip in strips:
            painter.setClipRect(strip)
            dashes.draw(painter, strip, 1.0)
        painter.end()
        return image

    whole = painted(QRectF(0.0, 0.0, 200.0, 20.0))
    left = QRectF(0.0, 0.0, left_px, 20.0)
    right = QRectF(left_px, 0.0, 200.0 - left_px, 20.0)
    assert painted(right, left) == whole


def test_straight_on_is_no_corner() -> None:
    bent = np.array(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 3.0), (2.0, 1.0)))
    # (1, 0) goes; (2, 3) turns right back and stays.
    assert without_straights(bent).tolist() == [[0, 0], [2, 0], [2, 3], [2, 1]]
