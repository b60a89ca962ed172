"""The turnout tool on the canvas: its keys, and how turnouts are shown."""

from math import cos, radians, sin

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drawings.run import RunDrawing
from app.canvas.drawings.turnout import TurnoutDrawing
from app.session.session import Session
from core.layout.edits.move import move_along
from core.layout.edits.set import set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Turnout
from tests.app.canvas.mouse import Mouse
from tests.app.tools.test_winding import HELIX
from tests.app.yard import TURNOUT, yard
from tests.core.network.test_three_way import three_way


def shown(canvas: Canvas, turnout: str) -> TurnoutDrawing:
    found = canvas.plan.parts[PartId(turnout)].drawing
    assert isinstance(found, TurnoutDrawing)
    return found


def test_keys_change_what_hovers_and_not_the_tool(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    session.replace_layout(three_way(), None)
    canvas.set_tool("turnout")
    mouse.move(1500.0, 0.0)
    for key in (Qt.Key.Key_F, Qt.Key.Key_Z):
        QTest.keyClick(canvas, key)
    mouse.click(1500.0, 0.0)
    made = session.layout.need(PartId("T3"), Turnout)
    assert (made.hand, made.opens) == ("right", "backward")
    assert canvas.tool == "turnout"
    assert session.selection == {"T3"}
    session.undo_stack.undo()
    assert session.layout.get(PartId("T3"), Turnout) is None


def test_typed_figures_are_the_shape(
    session: Session, canvas: Canvas, mouse: Mouse
) -> None:
    session.replace_layout(three_way(), None)
    canvas.set_tool("turnout")
    mouse.move(1500.0, 0.0)
    QTest.keyClicks(canvas, "1:4")
    mouse.click(1500.0, 0.0)
    # 1 in 4: lead 16.5 / (√17 − 4) = 134.0 mm.
    lead = session.layout.need(PartId("T3"), Turnout).lead_m
    assert lead == pytest.approx(0.134, abs=0.001)


@pytest.mark.parametrize(
    ("frog", "heel_gaps", "ticks"),
    [("insulated", True, 0), ("switched", True, 2), ("switched", False, 0)],
)
def test_gaps_behind_a_live_crossing_are_shown(
    session: Session, canvas: Canvas, frog: str, heel_gaps: bool, ticks: int
) -> None:
    session.replace_layout(yard(frog=frog, heel_gaps=heel_gaps), None)
    assert shown(canvas, TURNOUT).heels == ticks


def test_the_third_crossing_is_shown_while_there_is_one(
    session: Session, canvas: Canvas
) -> None:
    session.replace_layout(three_way(), None)
    assert (shown(canvas, "T1").has_third, shown(canvas, "T2").has_third) == (
        True,
        False,
    )
    session.commit(move_along(session.layout, PartId("T2"), 1.0))
    assert not shown(canvas, "T1").has_third
    session.undo_stack.undo()
    assert shown(canvas, "T1").has_third


def test_a_turnout_without_its_leg_is_not_shown(
    session: Session, canvas: Canvas
) -> None:
    layout = three_way()
    lost = replace(
        layout.need(PartId("T1"), Turnout), on=layout.need(PartId("T2"), Turnout).on
    )
    session.replace_layout(Layout({PartId("T1"): lost}), None)
    assert PartId("T1") not in canvas.plan.parts


def test_a_helix_says_how_often_it_goes_round(session: Session, canvas: Canvas) -> None:
    session.replace_layout(Layout({HELIX.id: HELIX}), None)
    canvas.show_at(0.0, 0.0, 0.5)
    drawing = canvas.plan.parts[HELIX.id].drawing
    words = [label.text for label in drawing.labels(canvas.look)]
    assert "6 turns, 17.34 m · up 400 mm, counter-clockwise" in words
    session.commit(set_settings(session.layout, lengths="ft"))
    drawing = canvas.plan.parts[HELIX.id].drawing
    words = [label.text for label in drawing.labels(canvas.look)]
    # 17.342 m are 56.9 ft.
    assert any(word.startswith("6 turns, 56") for word in words), words


def test_an_unfed_helix_is_dotted_like_other_unfed_track(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(Layout({HELIX.id: HELIX}), None)
    canvas.set_colouring("volts")
    canvas.show_at(0.0, 0.0, 0.25)
    drawing = canvas.plan.parts[HELIX.id].drawing
    assert isinstance(drawing, RunDrawing)
    middle = drawing.bounds().center()
    canvas.show_at(middle.x(), middle.y(), 0.25)
    QTest.qWait(100)
    picture = canvas.viewport().grab().toImage()
    radius = 0.5 * drawing.bounds().width()
    dark = 0
    for n in range(720):
        turn = radians(0.5 * n)
        place = canvas.mapFromScene(
            middle + QPointF(radius * cos(turn), radius * sin(turn))
        )
        dark += picture.pixelColor(place).lightness() < 200
    # Dots of 1.6 with gaps of 3.2: a third is ink, and up to half with soft edges.
    assert 0.15 * 720 < dark < 0.7 * 720
