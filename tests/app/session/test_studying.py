"""Studies off the window thread."""

import gc
import weakref
from collections.abc import Callable, Iterator
from threading import Event, get_ident
from typing import cast

import pytest
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from app.session.result import Examine, Result
from app.session.studying import StudyRoom
from core.errors import EditError
from core.layout.layout import Layout
from core.layout.parts import Settings

Make = Callable[[Examine], StudyRoom]


class Bench:
    """Holds the layout, and an engine that answers with its title, when let."""

    def __init__(self) -> None:
        self.title = "first"
        self.go = Event()
        self.asked: list[str] = []
        self.threads: set[int] = set()

    def snapshot(self) -> Layout:
        return Layout({s.id: s for s in (Settings(title=self.title),)})

    def examine(self, layout: Layout) -> Result:
        self.asked.append(layout.settings.title)
        self.threads.add(get_ident())
        assert self.go.wait(5)
        return cast("Result", layout.settings.title)


@pytest.fixture
def bench() -> Bench:
    return Bench()


@pytest.fixture
def make(qtbot: QtBot, bench: Bench) -> Iterator[Make]:
    rooms: list[StudyRoom] = []

    def made(examine: Examine) -> StudyRoom:
        rooms.append(StudyRoom(examine, bench.snapshot))
        return rooms[-1]

    yield made
    bench.go.set()
    for room in rooms:
        room.close()
        room.deleteLater()


def test_only_the_newest_state_is_answered(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    answers: list[object] = []
    room.answered.connect(answers.append)
    with qtbot.waitSignal(room.started):
        room.ask(now=True)
    for title in ("second", "third"):
        bench.title = title
        room.ask(now=True)
    bench.go.set()
    qtbot.waitUntil(lambda: bool(answers) and not room.is_busy)
    assert answers == ["third"]
    assert bench.asked == ["first", "third"]


def test_many_asks_in_a_row_are_one_study(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    bench.go.set()
    with qtbot.waitSignal(room.answered):
        for _ in range(20):
            room.ask()
    assert bench.asked == ["first"]


def test_the_study_runs_in_another_thread(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    bench.go.set()
    with qtbot.waitSignal(room.answered):
        room.ask()
    assert get_ident() not in bench.threads


def test_what_cannot_be_studied_is_said(qtbot: QtBot, make: Make) -> None:
    def refuse(_: Layout) -> Result:
        raise EditError("There is no wire called 'string'.", "Pick another.")

    room = make(refuse)
    with qtbot.waitSignal(room.refused) as said:
        room.ask()
    assert said.args == ["There is no wire called 'string'. Pick another."]


def test_a_defect_in_a_study_is_raised_in_the_window_thread(
    qtbot: QtBot, make: Make
) -> None:
    def fail(_: Layout) -> Result:
        raise ZeroDivisionError

    room = make(fail)
    with capture_exceptions() as caught:
        room.ask()
        qtbot.waitUntil(lambda: not room.is_busy)
    assert [kind for kind, _, _ in caught] == [ZeroDivisionError]


def test_the_copy_that_was_studied_is_let_go(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    copies: list[weakref.ref[Layout]] = []

    def examine(layout: Layout) -> Result:
        copies.append(weakref.ref(layout))
        return bench.examine(layout)

    room = make(examine)
    bench.go.set()
    with qtbot.waitSignal(room.answered):
        room.ask()
    gc.collect()
    assert [copy() for copy in copies] == [None]
