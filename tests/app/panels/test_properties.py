"""The panel of the selected part: what it can do besides its fields."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.properties import Properties
from app.session.looks import Looks
from app.session.session import Session
from core.layout.geometry import run_path
from core.layout.parts import TrackRun, Turnout
from tests.app.board import MAIN, SIDING
from tests.app.panels.conftest import Seen
from tests.app.yard import TURNOUT, yard


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
    assert "opens towards its end" in words
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
