"""The panel of the selected part: what it can do besides its fields."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.properties import Properties
from app.session.looks import Looks
from app.session.session import Session
from tests.app.board import MAIN
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
