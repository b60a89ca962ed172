"""The big sweep waits for a quiet moment, and comes in the end."""

import gc
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.session.session import Session
from app.session.sweeping import MOST_STUDIES, Sweeper


@pytest.fixture
def sweeper(session: Session) -> Iterator[Sweeper]:
    made = Sweeper(session, session.layout_changed)
    made._small.setInterval(5)
    yield made
    made.close()


class Ring:
    """Garbage that only a sweep finds."""

    def __init__(self, freed: list[str]) -> None:
        self.me, self._freed = self, freed

    def __del__(self) -> None:
        self._freed.append("freed")


def test_garbage_is_swept_at_rest(
    qtbot: QtBot, session: Session, sweeper: Sweeper
) -> None:
    freed: list[str] = []
    Ring(freed)
    sweeper._timer.setInterval(10)
    session.study_ready.emit(None)
    qtbot.waitUntil(lambda: freed == ["freed"])


def test_it_is_swept_after_many_studies_all_the_same(
    qtbot: QtBot, session: Session, sweeper: Sweeper
) -> None:
    sweeper.sweep()
    freed: list[str] = []
    Ring(freed)
    for _ in range(MOST_STUDIES - 1):
        session.study_ready.emit(None)
    qtbot.wait(20)
    assert freed == []
    session.study_ready.emit(None)
    assert freed == []  # not in the same turn
    qtbot.waitUntil(lambda: freed == ["freed"])


def test_after_another_layout_everything_is_swept(
    qtbot: QtBot, session: Session, sweeper: Sweeper
) -> None:
    freed: list[str] = []
    Ring(freed)
    sweeper.sweep()
    ring = Ring(freed)
    sweeper.sweep()
    assert freed == ["freed"]
    assert gc.get_freeze_count() > 10_000
    del ring  # garbage among what was put aside
    session.layout_replaced.emit()
    session.study_ready.emit(None)
    qtbot.waitUntil(lambda: freed == ["freed", "freed"])


def test_small_sweeps_leave_alone_what_was_put_aside(
    qtbot: QtBot, session: Session, sweeper: Sweeper
) -> None:
    freed: list[str] = []
    ring = Ring(freed)
    sweeper.sweep()
    del ring
    for _ in range(MOST_STUDIES):
        session.study_ready.emit(None)
    qtbot.wait(50)
    assert freed == []  # a matter for the next sweep at rest
    sweeper.sweep()
    assert freed == ["freed"]


def test_python_gets_its_own_way_back(session: Session) -> None:
    before = gc.get_threshold()
    sweeper = Sweeper(session)
    meanwhile = gc.get_threshold()
    sweeper.close()
    assert meanwhile[2] > 1_000_000
    assert gc.get_freeze_count() == 0
    assert gc.get_threshold() == before
