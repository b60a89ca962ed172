"""The ground: boards on a floor, and a grid whose lines lie where plan lengths do."""

import numpy as np
import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QImage, QPainter, QTransform
from PySide6.QtWidgets import QApplication

from app.canvas.ground import paint_ground
from app.canvas.lines.chunks import Floats
from app.canvas.look import Look, mix
from app.session.theme import LIGHT

SIZE = (300, 200)
NONE: Floats = np.zeros((0, 4))

BOARD = np.array([[0.0, 0.0, 400.0, 300.0]])
"""One board, 400 by 300. [mm]"""


def ground(
    boards: Floats, *clips: QRect, grid: bool, across: float = 0.25, x_px: float = 50.5
) -> QImage:
    """Paint with the plan's origin at (x_px, 150), a quarter of a pixel a millimetre."""
    image = QImage(*SIZE, QImage.Format.Format_RGB32)
    image.fill(0)
    look = Look(LIGHT)
    look.px_per_mm = 0.25
    painter = QPainter(image)
    painter.setWorldTransform(QTransform(across, 0.0, 0.0, -0.25, x_px, 150.0))
    for clip in clips or (QRect(0, 0, *SIZE),):
        paint_ground(painter, look, clip, boards, "m" if grid else None)
    painter.end()
    return image


def test_round_boards_lies_the_floor(qapp: QApplication) -> None:
    image = ground(BOARD, grid=False)
    # 400 mm are 100 px, 300 mm 75 px upwards from 150.
    for x, y, colour in (
        *((51, 149, LIGHT.paper), (149, 76, LIGHT.paper)),
        *((49, 149, LIGHT.bench), (152, 100, LIGHT.bench)),
        *((100, 151, LIGHT.bench), (100, 74, LIGHT.bench)),
    ):
        assert image.pixelColor(x, y) == QColor(colour), (x, y)


def test_without_boards_all_is_paper(qapp: QApplication) -> None:
    assert ground(NONE, grid=False).pixelColor(3, 3) == QColor(LIGHT.paper)


@pytest.mark.parametrize("across", [0.25, -0.25])
def test_grid_lines_lie_at_round_lengths(qapp: QApplication, across: float) -> None:
    image = ground(NONE, grid=True, across=across)
    # At 0.25 px/mm the least round steps of 14 and 70 px are 100 and 500 mm: 25 and
    # 125 px from the origin at 50.5, seen from above or below.
    minor = QColor(mix(LIGHT.grid, LIGHT.paper, 0.5))
    lines = {x for x in range(300) if image.pixelColor(x, 10) != QColor(LIGHT.paper)}
    assert lines == {int(50.5 + 25 * k) for k in range(-2, 10)}
    assert image.pixelColor(75, 10) == minor
    assert image.pixelColor(175, 10) == QColor(LIGHT.grid)
    rows = {y for y in range(200) if image.pixelColor(5, y) != QColor(LIGHT.paper)}
    assert rows == {25 * k for k in range(8)}


def test_strips_join_without_a_seam(qapp: QApplication) -> None:
    whole = ground(BOARD, grid=True)
    strips = [QRect(x, 0, 37, 200) for x in range(0, 300, 37)]
    assert ground(BOARD, *strips, grid=True) == whole
