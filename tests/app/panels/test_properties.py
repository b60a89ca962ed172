"""The panel of the selected part: what it can do besides its fields."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from app.panels.fields.tables import fields_of
from app.panels.properties import Properties
from app.session.looks import Looks
from app.session.session import Session
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, OnRun, TrackRun, Turnout, Turntable
from tests.app.board import MAIN, SIDING
from tests.app.panels.conftest import Seen
from tests.app.tools.test_winding import HELIX, ROUND_M
from tests.app.yard import TURNOUT, yard
from tests.core.checks.shed import shed
from tests.core.sheet.boards import drop as lead_at
from tests.core.sheet.boards import layout_of, shelf_run


@pytest.fixture
def panel(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> Properties:
    session.replace_layout(yard(), None)
    made = Properties(session, looks, seen.show_parts)
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_turnout_has_a_switch_that_throws_it(
    session: Session, panel: Properties
) -> None:
    session.select([TURNOUT])
    QTest.keyClick(panel.thrown, Qt.Key.Key_Space)
    assert session.thrown == (TURNOUT,)
    session.set_straight()
    assert not panel.thrown.isChecked()


def test_only_a_single_turnout_has_that_switch(
    session: Session, panel: Properties
) -> None:
    shown = []
    for chosen in ([TURNOUT], [MAIN], [MAIN, TURNOUT], []):
        session.select(chosen)
        shown.append(panel.thrown.isVisible())
    assert shown == [True, False, False, False]


def test_a_turnout_is_told_in_a_builder_s_words(
    session: Session, panel: Properties
) -> None:
    session.select([TURNOUT])
    words = panel._facts.text()
    assert "opens towards its end; toe to frog" in words
    assert "crossing" not in words
    assert "Its leg is the start of Siding" in words
    # Straight it has the pole of the stock rail on its own side.
    assert "to the left stock rail when straight, to the right one when thrown" in words


def test_another_hand_turns_the_leg_over(session: Session, panel: Properties) -> None:
    session.select([TURNOUT])
    before = run_path(session.layout.need(SIDING, TrackRun)).end
    panel.form.editor("hand").edited.emit("right")
    after = run_path(session.layout.need(SIDING, TrackRun)).end
    # The main line lies along y = 0: a mirror image has the other sign of y.
    assert (after.x_mm, after.y_mm) == pytest.approx((before.x_mm, -before.y_mm))
    assert session.layout.need(TURNOUT, Turnout).hand == "right"
    assert session.undo_stack.count() == 1


def test_a_climbing_track_tells_its_grade(session: Session, panel: Properties) -> None:
    session.select([MAIN])
    panel.form.editor("level_end_mm").edited.emit("36 mm")
    length = run_path(session.layout.need(MAIN, TrackRun)).length_mm
    # Rise over length, in per cent.
    assert f"Climbs 36 mm: {3600.0 / length:.1f}%" in panel._facts.text()


def test_a_drop_up_a_climb_tells_what_to_add(
    session: Session, panel: Properties
) -> None:
    # 240 mm over 2.40 m: 1.80 m along it is 180 mm up.
    layout = layout_of(shelf_run(level_end_mm=240.0), lead_at(1, 1.8))
    session.replace_layout(layout, None)
    session.select([PartId("D1")])
    assert "180 mm above the foot of Main: add that" in panel._facts.text()


@pytest.fixture
def shed_panel(session: Session, panel: Properties) -> Properties:
    session.replace_layout(shed(30, 150), None)
    session.select([PartId("TT1")])
    return panel


def test_a_turntable_says_in_words_where_its_bridge_and_its_stalls_are(
    shed_panel: Properties,
) -> None:
    words = shed_panel._facts.text()
    assert "Bridge, stands at no stall" in words
    assert "lies along 0° and 180°" in words
    assert "Stall 2: Shed 2 at 150°" in words


def test_its_buttons_turn_the_bridge_one_step_each(
    session: Session, shed_panel: Properties
) -> None:
    for word in ("Next stall", "Next stall", "End for end"):
        # Those of before are still waiting to be deleted.
        *_, button = (
            b for b in shed_panel.findChildren(QPushButton) if b.text() == word
        )
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert "stands at stall 2 with its end" in shed_panel._facts.text()


@pytest.mark.parametrize(
    ("fields", "shown"),
    [
        ({}, {"ring", "pickups", "split_deg", "stops"}),
        ({"ring": "whole"}, {"ring", "stops"}),
        ({"ring": "whole", "stops": True}, {"ring", "split_deg", "stops"}),
        ({"form": "traverser"}, {"travel_mm"}),
    ],
)
def test_only_what_matters_for_that_kind_of_pit_is_asked(
    fields: dict[str, Any], shown: set[str]
) -> None:
    layout = shed(30, **fields)
    table = layout.need(PartId("TT1"), Turntable)
    asked = {field.name for field in fields_of([table]) if field.shown(table)}
    assert asked - {"name", "form", "across_mm", "x_mm", "y_mm"} == shown


def test_a_drop_on_a_helix_tells_its_turn(session: Session, panel: Properties) -> None:
    # The probe's helix of the tool tests: six turns of 460 mm, 2.890 m each.
    drop = Drop(id=PartId("D1"), on=OnRun(run=HELIX.id, position_m=2.5 * ROUND_M))
    session.replace_layout(Layout({HELIX.id: HELIX, drop.id: drop}), None)
    session.select([drop.id])
    assert "On turn 3 of 6." in panel._facts.text()
    session.select([HELIX.id])
    assert "A helix of 6 turns." in panel._facts.text()
    assert "Climbs 400 mm, 67 mm a turn: 2.3%" in panel._facts.text()
