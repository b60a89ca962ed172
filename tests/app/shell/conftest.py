"""The whole program, with the real engine, closed again after each test."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.build import Program, dress, make_examine


@pytest.fixture
def program(qtbot: QtBot, qapp: QApplication) -> Iterator[Program]:
    dress(qapp)
    made = Program(make_examine())
    with qtbot.waitExposed(made.window):
        made.window.show()
    made.begin(None)
    yield made
    made.close()
    made.window.deleteLater()
    made.session.deleteLater()
    made.looks.deleteLater()
