"""A canvas on a session with the real engine, worked with real mouse events."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.build import make_examine
from app.canvas.canvas import Canvas
from app.session.session import Session
from app.session.theme import LIGHT
from tests.app.canvas.mouse import Mouse


@pytest.fixture
def session(qtbot: QtBot, tmp_path: Path) -> Iterator[Session]:
    made = Session(make_examine(), tmp_path / "unsaved")
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def canvas(qtbot: QtBot, session: Session) -> Canvas:
    """Return a canvas of 1200 by 800 pixels, 4 mm each, (2000, 1000) in the middle."""
    made = Canvas(session, LIGHT)
    qtbot.addWidget(made)
    made.resize(1200, 800)
    with qtbot.waitExposed(made):
        made.show()
    made.setFocus()
    made.show_at(2000.0, 1000.0, 0.25)
    return made


@pytest.fixture
def mouse(qtbot: QtBot, canvas: Canvas) -> Mouse:
    return Mouse(qtbot, canvas)
