"""Pan, zoom, fit and the two sides."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.view import LEAST_PX_PER_MM, MOST_PX_PER_MM
from app.session.session import Session
from core.layout.ids import PartId
from core.layout.parts import OnRun
from tests.app.board import board
from tests.app.canvas.mouse import LEFT, MIDDLE, Mouse


def middle(canvas: Canvas) -> QPointF:
    return canvas.mapToScene(canvas.viewport().rect().center())


def test_the_plan_is_in_real_millimetres_with_y_upwards(canvas: Canvas) -> None:
    left_low = canvas.mapFromScene(QPointF(1000, 500))
    right_high = canvas.mapFromScene(QPointF(1400, 900))
    # 0.25 px/mm: 400 mm are 100 px, and up in plan is up on the screen.
    assert right_high.x() - left_low.x() == 100
    assert left_low.y() - right_high.y() == 100


def test_the_wheel_zooms_to_the_pointer(canvas: Canvas, mouse: Mouse) -> None:
    before = mouse.pixel(1300, 700)
    mouse.wheel(1300, 700, 3)
    assert canvas.look.px_per_mm > 0.25
    after = mouse.pixel(1300, 700)
    assert abs(after.x() - before.x()) <= 1
    assert abs(after.y() - before.y()) <= 1


def test_the_zoom_has_ends(canvas: Canvas, mouse: Mouse) -> None:
    mouse.wheel(2000, 1000, 60)
    assert canvas.look.px_per_mm == MOST_PX_PER_MM
    mouse.wheel(2000, 1000, -120)
    assert canvas.look.px_per_mm == LEAST_PX_PER_MM


def test_the_middle_button_drags_the_plan(canvas: Canvas, mouse: Mouse) -> None:
    start = mouse.pixel(2000, 1000)
    mouse.press(2000, 1000, MIDDLE)
    # The place taken hold of stays under the pointer: told in pixels from there.
    mouse.move(2400, 1200)
    assert mouse.pixel(2000, 1000).x() - start.x() == 100
    assert mouse.pixel(2000, 1000).y() - start.y() == -50
    mouse.release(2000, 1000, MIDDLE)
    assert not canvas.is_panning


def test_space_and_the_left_button_drag_the_plan_and_draw_nothing(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:

    canvas.set_tool("booster")
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    start = mouse.pixel(2000, 1000)
    mouse.press(2000, 1000).move(2200, 1000)
    assert mouse.pixel(2000, 1000).x() - start.x() == 50
    mouse.release(2000, 1000)
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert len(session.layout.parts) == 1
    mouse.press(2000, 1000, LEFT).release(2000, 1000, LEFT)
    assert PartId("PB1") in session.layout.parts


def test_fit_shows_everything(session: Session, canvas: Canvas) -> None:
    session.replace_layout(board(), None)
    canvas.show_at(90_000, 90_000, 3.0)
    canvas.fit()
    seen = canvas.mapToScene(canvas.viewport().rect()).boundingRect()
    assert seen.contains(canvas.plan.content())
    assert seen.width() < 1.5 * canvas.plan.content().width()


def test_an_empty_layout_fits_too(canvas: Canvas) -> None:
    canvas.fit()
    seen = canvas.mapToScene(canvas.viewport().rect()).boundingRect()
    assert seen.contains(QPointF(0, 0))


def test_from_below_left_is_right_and_up_is_up(canvas: Canvas) -> None:
    canvas.set_underside(True)
    a, b = (
        canvas.mapFromScene(QPointF(1000, 500)),
        canvas.mapFromScene(QPointF(1400, 900)),
    )
    assert b.x() - a.x() == -100
    assert a.y() - b.y() == 100
    canvas.set_underside(False)
    assert (
        canvas.mapFromScene(QPointF(1400, 500)).x()
        > canvas.mapFromScene(QPointF(1000, 500)).x()
    )


def test_turning_over_keeps_the_middle(canvas: Canvas) -> None:
    before = middle(canvas)
    canvas.set_underside(True)
    after = middle(canvas)
    assert (after.x(), after.y()) == pytest.approx((before.x(), before.y()), abs=8.0)


def test_a_place_that_is_gone_to_is_in_the_middle_and_near(
    session: Session, canvas: Canvas
) -> None:
    session.replace_layout(board(), None)
    canvas.show_place(OnRun(run=PartId("R1"), position_m=2.5))
    assert middle(canvas).x() == pytest.approx(2500, abs=4.0)
    assert canvas.look.px_per_mm >= 0.9


def test_parts_that_are_gone_to_are_all_in_view(
    session: Session, canvas: Canvas
) -> None:
    session.replace_layout(board(), None)
    canvas.show_parts([PartId("D2"), PartId("PB1"), PartId("nothing")])
    seen = canvas.mapToScene(canvas.viewport().rect()).boundingRect()
    assert seen.contains(QPointF(2500, 0))
    assert seen.contains(QPointF(1500, -200))


def test_the_pointer_is_told_in_plan(
    canvas: Canvas, mouse: Mouse, qtbot: QtBot
) -> None:
    canvas.set_tool("booster")
    with qtbot.waitSignal(canvas.pointer_moved) as told:
        mouse.move(1203, 797)
    # At 4 mm a pixel the grid has steps of 20 mm.
    assert told.args == [1200, 800]


def test_without_snapping_the_grid_does_not_pull(
    canvas: Canvas, mouse: Mouse, qtbot: QtBot
) -> None:
    canvas.set_tool("booster")
    canvas.set_snapping(False)
    with qtbot.waitSignal(canvas.pointer_moved) as told:
        mouse.move(1212, 788)
    assert told.args == pytest.approx([1212, 788])
