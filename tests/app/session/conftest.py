"""A session with the real engine, closed again after each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.build import make_examine
from app.session.session import Session


@pytest.fixture
def session(qtbot: QtBot, tmp_path: Path) -> Iterator[Session]:
    made = Session(make_examine(), tmp_path / "unsaved")
    yield made
    made.close()
    made.deleteLater()
