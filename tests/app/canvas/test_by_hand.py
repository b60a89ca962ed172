"""Drawing with the mouse: the whole canvas, real events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.session.session import Session
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Booster,
    Bus,
    Drop,
    Straight,
    ToBus,
    ToPort,
    TrackJoint,
    TrackRun,
)
from tests.app.canvas.mouse import RIGHT, Mouse

KEY = Qt.Key


def draw_oval(canvas: Canvas, mouse: Mouse) -> None:
    canvas.set_tool("run")
    mouse.click(1000, 400).click(3000, 400).click(3000, 1600).click(1000, 1600)
    mouse.click(1000, 400)


def draw_power(canvas: Canvas, mouse: Mouse) -> None:
    canvas.set_tool("booster")
    mouse.click(600, 1000)
    canvas.set_tool("bus")
    mouse.click(600, 1000).click(2000, 1000).click(3200, 1000).key(KEY.Key_Return)


def draw_drops(canvas: Canvas, mouse: Mouse) -> None:
    canvas.set_tool("drop")
    for x, y in ((1400, 400), (2600, 400), (2000, 1600)):
        mouse.click(x, y)


def test_an_oval_a_bus_and_three_drops(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    draw_oval(canvas, mouse)
    draw_power(canvas, mouse)
    draw_drops(canvas, mouse)
    layout = session.layout
    run = layout.need(PartId("R1"), TrackRun)
    # Two straights of 2 m and two half turns of radius 0.6 m.
    assert run.pieces == (
        Straight(length_mm=2000.0),
        Arc(radius_mm=600.0, sweep_deg=180.0),
        Straight(length_mm=2000.0),
        run.pieces[3],
    )
    assert isinstance(run.pieces[3], Arc)
    assert run.pieces[3].sweep_deg == pytest.approx(180.0)
    assert len(list(layout.of_kind(TrackJoint))) == 1
    bus = layout.need(PartId("B1"), Bus)
    assert bus.start == ToPort(part=PartId("PB1"), port="out")
    assert [(p.x_mm, p.y_mm) for p in bus.points] == [
        (600, 1000),
        (2000, 1000),
        (3200, 1000),
    ]
    ends = [d.to for d in layout.of_kind(Drop)]
    # Straight below or above the places clicked, to the 20 mm of the snapping.
    assert [e.position_m for e in ends if isinstance(e, ToBus)] == pytest.approx(
        [0.8, 2.0, 1.4], abs=0.02
    )
    assert session.undo_stack.count() == 6


def test_all_of_it_is_undone_step_by_step(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    draw_oval(canvas, mouse)
    draw_power(canvas, mouse)
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
    assert set(canvas.plan.parts) == set()
    assert len(session.layout.parts) == 1  # the settings


def test_escape_leaves_the_tool_and_then_takes_up_selecting(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("run")
    mouse.click(1000, 400).click(2000, 400).key(KEY.Key_Escape)
    assert canvas.tool == "run"
    mouse.key(KEY.Key_Escape)
    assert canvas.tool == "select"
    assert session.undo_stack.count() == 0


def test_a_length_may_be_typed_while_drawing(
    session: Session, canvas: Canvas, mouse: Mouse, qtbot: QtBot
) -> None:
    canvas.set_tool("run")
    mouse.click(1000, 400).move(2000, 400)
    with qtbot.waitSignal(canvas.typing_changed) as typed:
        mouse.type("2")
    assert typed.args == ["2"]
    mouse.type("400").key(KEY.Key_Return).key(KEY.Key_Return)
    run = session.layout.need(PartId("R1"), TrackRun)
    assert run.pieces == (Straight(length_mm=2400.0),)


def test_typed_letters_do_not_call_the_shortcuts_of_the_window(
    session: Session, canvas: Canvas, mouse: Mouse, qtbot: QtBot
) -> None:
    called: list[str] = []
    for letter in ("R", "M"):
        action = QAction(canvas)
        action.setShortcut(letter)
        action.triggered.connect(lambda _=False, word=letter: called.append(word))
        canvas.addAction(action)
    canvas.set_tool("run")
    mouse.click(1000, 400).move(2000, 400).type("2.4 m")
    assert called == []
    mouse.key(KEY.Key_Return).key(KEY.Key_Return)
    mouse.type("m")
    assert called == ["M"]


def test_undo_while_drawing_takes_the_last_piece_back(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    undo = QAction(canvas)
    undo.setShortcut(QKeySequence.StandardKey.Undo)
    undo.triggered.connect(session.undo_stack.undo)
    canvas.addAction(undo)
    canvas.set_tool("run")
    mouse.click(1000, 400).click(2000, 400).click(2600, 400)
    mouse.key(KEY.Key_Z, Qt.KeyboardModifier.ControlModifier).key(KEY.Key_Return)
    run = session.layout.need(PartId("R1"), TrackRun)
    assert run.pieces == (Straight(length_mm=1000.0),)
    mouse.key(KEY.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert list(session.layout.of_kind(TrackRun)) == []


def test_a_double_click_ends_a_run(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("run")
    mouse.click(1000, 400).double(2000, 400)
    run = session.layout.need(PartId("R1"), TrackRun)
    assert run.pieces == (Straight(length_mm=1000.0),)


def test_the_right_button_ends_a_bus_and_asks_for_a_menu_at_rest(
    session: Session, canvas: Canvas, mouse: Mouse, qtbot: QtBot
) -> None:
    canvas.set_tool("bus")
    mouse.click(1000, 400).click(2000, 400).click(2000, 400, RIGHT)
    assert len(list(session.layout.of_kind(Bus))) == 1
    canvas.set_tool("select")
    session.select(())
    with qtbot.waitSignal(canvas.menu_asked):
        mouse.click(1500, 400, RIGHT)
    assert session.selection == {"B1"}


def test_undo_from_elsewhere_leaves_what_is_being_drawn(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("run")
    mouse.click(1000, 400).click(2000, 400).key(KEY.Key_Return)
    mouse.click(2000, 400).click(2600, 400)
    session.undo_stack.undo()
    mouse.click(3000, 400).key(KEY.Key_Return)
    assert list(session.layout.of_kind(TrackRun)) == []


def test_a_part_is_dragged_with_the_mouse_and_nudged_with_the_keys(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("booster")
    mouse.click(1000, 1000)
    canvas.set_tool("select")
    mouse.drag((1000, 1000), (1100, 1040), (1400, 1200))
    booster = session.layout.need(PartId("PB1"), Booster)
    assert (booster.x_mm, booster.y_mm) == (1400, 1200)
    mouse.key(KEY.Key_Right).key(KEY.Key_Right)
    assert session.layout.need(PartId("PB1"), Booster).x_mm == 1420
    session.undo_stack.undo()
    assert session.layout.need(PartId("PB1"), Booster).x_mm == 1400


def test_seen_from_below_the_right_arrow_moves_to_the_right_on_screen(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("booster")
    mouse.click(1000, 1000)
    canvas.set_tool("select")
    canvas.set_underside(True)
    before = mouse.pixel(1000, 1000)
    mouse.click(1000, 1000).key(KEY.Key_Right)
    x = session.layout.need(PartId("PB1"), Booster).x_mm
    assert x == 990
    assert mouse.pixel(x, 1000).x() > before.x()


def test_a_box_selects_what_lies_inside(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    draw_power(canvas, mouse)
    canvas.set_tool("select")
    mouse.drag((400, 800), (700, 1100), (900, 1200))
    assert session.selection == {"PB1"}
    mouse.drag((1500, 1200), (1450, 900), (1400, 800))  # leftwards: touches
    assert session.selection == {"B1"}


def test_losing_the_window_leaves_a_drag_but_not_what_is_drawn_by_clicks(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("booster")
    mouse.click(1000, 1000)
    canvas.set_tool("select")
    mouse.move(1000, 1000).press(1000, 1000).move(1200, 1000)
    canvas.clearFocus()
    mouse.release(1200, 1000)
    assert session.layout.need(PartId("PB1"), Booster).x_mm == 1000
    canvas.set_tool("run")
    canvas.setFocus()
    mouse.click(1000, 400).click(2000, 400)
    canvas.clearFocus()
    canvas.setFocus()
    mouse.key(KEY.Key_Return)
    assert len(list(session.layout.of_kind(TrackRun))) == 1


def test_every_tool_says_what_it_can_do(canvas: Canvas, qtbot: QtBot) -> None:
    for tool in ("run", "bus", "drop", "probe", "select"):
        with qtbot.waitSignal(canvas.hint_changed) as said:
            canvas.set_tool(tool)
        assert said.args == [canvas.hint]
        assert canvas.hint.endswith(".")


def test_the_probe_is_put_on_the_track(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    draw_oval(canvas, mouse)
    canvas.set_tool("probe")
    mouse.click(2000, 404)
    assert session.probe_place is not None
    assert session.probe_place.position_m == pytest.approx(1.0)
