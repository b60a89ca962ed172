"""Turntables on the plan: pit, ring with its cuts, bridge, numbers of the stalls."""

from math import cos, radians, sin
from typing import Any

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter, QTransform
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drawings.make import make_drawing, survey
from app.canvas.drawings.pit import RING_SHARE, PitDrawing
from app.canvas.look import Look
from app.session.session import Session
from app.session.theme import LIGHT
from core.layout.edits.add import add_run
from core.layout.edits.turn import turn_bridge
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Point, Straight, Turntable
from tests.core.checks.shed import shed

SIZE = 400
TT1 = PartId("TT1")


@pytest.fixture
def look(qapp: QApplication) -> Look:
    made = Look(LIGHT)
    made.px_per_mm = 1.0
    return made


def drawn(layout: Layout) -> PitDrawing:
    drawing = make_drawing(layout, layout.need(TT1, Turntable), survey(layout))
    assert isinstance(drawing, PitDrawing)
    return drawing


def painted(drawing: PitDrawing, look: Look) -> QImage:
    """Return the pit as pixels, its middle at the middle, 1 px a mm."""
    image = QImage(SIZE, SIZE, QImage.Format.Format_RGB32)
    image.fill(QColor(look.theme.paper))
    painter = QPainter(image)
    half = 0.5 * SIZE
    painter.setTransform(QTransform(1.0, 0.0, 0.0, -1.0, half, half))
    drawing.paint(painter, look, QRectF(-half, -half, SIZE, SIZE))
    painter.end()
    return image


def is_ring(image: QImage, look: Look, bearing_deg: float) -> bool:
    """Return whether the ring's colour is within 2 px of its place at a bearing."""
    radius = RING_SHARE * 150.0
    x = 0.5 * SIZE + radius * cos(radians(bearing_deg))
    y = 0.5 * SIZE - radius * sin(radians(bearing_deg))
    wanted = QColor(look.theme.device)
    found = (
        image.pixelColor(round(x) + dx, round(y) + dy)
        for dx in range(-2, 3)
        for dy in range(-2, 3)
    )
    return any(
        abs(c.red() - wanted.red()) + abs(c.blue() - wanted.blue()) < 40 for c in found
    )


@pytest.mark.parametrize("cut", [20.0, 75.0, 150.0])
def test_the_ring_is_open_at_its_cuts_and_whole_elsewhere(
    look: Look, cut: float
) -> None:
    image = painted(drawn(shed(split_deg=cut, heading_deg=cut + 110.0)), look)
    assert not is_ring(image, look, cut)
    assert not is_ring(image, look, cut + 180.0)
    assert is_ring(image, look, cut + 40.0)
    assert is_ring(image, look, cut + 220.0)


def test_a_whole_ring_has_no_cut(look: Look) -> None:
    image = painted(drawn(shed(ring="whole", split_deg=20.0)), look)
    assert is_ring(image, look, 20.0)


def test_a_pit_is_as_large_as_it_says() -> None:
    assert drawn(shed()).bounds().width() == pytest.approx(300.0, abs=0.2)
    traverser = drawn(shed(form="traverser", travel_mm=500.0, heading_deg=90.0))
    # The bridge lies upwards, so it shifts from side to side.
    assert traverser.bounds().width() == pytest.approx(500.0)
    assert traverser.bounds().height() == pytest.approx(300.0)


def test_its_stalls_have_their_numbers_and_the_split_its_word(look: Look) -> None:
    words = [label.text for label in drawn(shed(30, 150)).labels(look)]
    assert words == ["TT1", "1", "2", "split"]


@pytest.mark.parametrize("fields", [{"ring": "whole"}, {"form": "traverser"}])
def test_no_split_is_marked_where_there_is_none(
    look: Look, fields: dict[str, Any]
) -> None:
    words = [label.text for label in drawn(shed(90, **fields)).labels(look)]
    assert "split" not in words


def test_from_afar_only_the_pit_is_left(look: Look) -> None:
    look.px_per_mm = 0.05
    assert drawn(shed(30, 150)).labels(look) == ()


def test_a_new_stall_is_numbered_and_the_deck_turns_with_the_bridge(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(shed(30), None)
    first = canvas.plan.parts[TT1].drawing
    place = Point(x_mm=-150.0, y_mm=0.0)
    with qtbot.waitSignal(session.study_ready):
        session.commit(
            add_run(session.layout, place, 180.0, (Straight(length_mm=300.0),))
        )
    second = canvas.plan.parts[TT1].drawing
    words = [label.text for label in second.labels(canvas.look)]
    assert {"1", "2"} <= set(words)
    with qtbot.waitSignal(session.study_ready):
        session.commit(turn_bridge(session.layout, TT1, 2))
    third = canvas.plan.parts[TT1].drawing
    assert len({id(first), id(second), id(third)}) == 3
