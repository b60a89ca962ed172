"""A session on a small sound board, with the looks and hands that panels take."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.build import make_examine
from app.data import data_dir
from app.panels.stages.base import Hands
from app.session.looks import Looks
from app.session.session import Session
from core.checks.trail import Trail
from core.layout.ids import PartId
from core.layout.parts import OnRun
from tests.app.board import board


@pytest.fixture
def session(qtbot: QtBot, tmp_path: Path) -> Iterator[Session]:
    made = Session(make_examine(), tmp_path / "unsaved")
    with qtbot.waitSignal(made.study_ready):
        made.replace_layout(board(), None)
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def looks(qtbot: QtBot) -> Iterator[Looks]:
    made = Looks(data_dir("assets") / "icons")
    yield made
    made.deleteLater()


@dataclass
class Seen:
    """What panels asked the rest of the window to do."""

    parts: list[tuple[PartId, ...]] = field(default_factory=list)
    places: list[OnRun] = field(default_factory=list)
    tools: list[str] = field(default_factory=list)
    trails: list[Trail | None] = field(default_factory=list)
    fits: int = 0

    def show_parts(self, ids: Sequence[PartId]) -> None:
        self.parts.append(tuple(ids))

    def fit(self) -> None:
        self.fits += 1

    @property
    def hands(self) -> Hands:
        return Hands(
            self.show_parts,
            self.places.append,
            self.tools.append,
            self.fit,
            self.trails.append,
        )


@pytest.fixture
def seen() -> Seen:
    return Seen()
