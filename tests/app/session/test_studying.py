"""Studies off the window thread."""

import gc
import weakref
from collections.abc import Callable, Iterator
from dataclasses import replace
from threading import Event, get_ident
from typing import NoReturn, cast

import pytest
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from app.build import make_examine
from app.session.result import Examine, Result
from app.session.studying import StudyRoom
from core.analysis.study import Case, Study
from core.checks.finding import Finding
from core.errors import EditError
from core.layout.layout import Layout
from core.layout.parts import Settings
from tests.app.board import board

Make = Callable[[Examine], StudyRoom]


class Bench:
    """Holds the layout, and an engine that answers with its title, when let."""

    def __init__(self) -> None:
        self.title = "first"
        self.go, self.go_check = Event(), Event()
        self.go_check.set()
        self.asked: list[str] = []
        self.checked: list[str] = []
        self.threads: set[int] = set()

    def snapshot(self) -> tuple[Layout, Case]:
        return Layout({s.id: s for s in (Settings(title=self.title),)}), Case()

    @property
    def examine(self) -> Examine:
        return Examine(self.study, self.check)

    def study(self, layout: Layout, case: Case) -> Study:
        self.asked.append(layout.settings.title)
        self.threads.add(get_ident())
        assert self.go.wait(5)
        return cast("Study", layout.settings.title)

    def check(self, study: Study) -> tuple[Finding, ...]:
        self.checked.append(str(study))
        self.threads.add(get_ident())
        assert self.go_check.wait(5)
        return ()


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
    bench.go_check.set()
    for room in rooms:
        room.close()
        room.deleteLater()


def listen(room: StudyRoom) -> list[str]:
    """Return a list in which the room's answers will stand."""
    answers: list[str] = []
    room.studied.connect(lambda study: answers.append(f"{study} studied"))
    room.answered.connect(lambda result: answers.append(f"{result.study} checked"))
    return answers


def no_findings(_: Study) -> tuple[Finding, ...]:
    return ()


def test_only_the_newest_state_is_answered(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    answers = listen(room)
    with qtbot.waitSignal(room.started):
        room.ask()
    for title in ("second", "third"):
        bench.title = title
        room.ask()
    bench.go.set()
    qtbot.waitUntil(lambda: bool(answers) and not room.is_busy)
    assert answers == ["third studied", "third checked"]
    assert bench.asked == ["first", "third"]


def test_a_study_is_told_before_its_findings(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    answers = listen(room)
    bench.go.set()
    with qtbot.waitSignal(room.studied):
        room.ask()
    assert bench.checked == []
    qtbot.waitUntil(lambda: not room.is_busy)
    assert answers == ["first studied", "first checked"]


def test_a_state_that_is_past_is_not_checked(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    bench.go.set()
    with qtbot.waitSignal(room.studied):
        room.ask()
    answers = listen(room)
    bench.title = "second"
    room.ask()
    qtbot.waitUntil(lambda: not room.is_busy)
    assert answers == ["second studied", "second checked"]
    assert bench.checked == ["second"]


def test_findings_of_a_state_that_is_past_are_dropped(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    bench.go.set()
    bench.go_check.clear()
    room.ask()
    qtbot.waitUntil(lambda: bench.checked == ["first"])
    answers = listen(room)
    bench.title = "second"
    room.ask()
    qtbot.waitUntil(lambda: not room._soon.isActive())
    bench.go_check.set()
    qtbot.waitUntil(lambda: not room.is_busy)
    assert answers == ["second studied", "second checked"]


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
    def refuse(_: Layout, _case: Case) -> Study:
        raise EditError("There is no wire called 'string'.", "Pick another.")

    room = make(Examine(refuse, no_findings))
    with qtbot.waitSignal(room.refused) as said:
        room.ask()
    assert said.args == ["There is no wire called 'string'. Pick another."]


@pytest.mark.parametrize("where", ["study", "check"])
def test_a_defect_in_a_study_is_raised_in_the_window_thread(
    qtbot: QtBot, bench: Bench, make: Make, where: str
) -> None:
    def fail(*_: object) -> NoReturn:
        raise ZeroDivisionError

    bench.go.set()
    examine = (
        Examine(fail, no_findings)
        if where == "study"
        else replace(bench.examine, check=fail)
    )
    room = make(examine)
    with capture_exceptions() as caught:
        room.ask()
        qtbot.waitUntil(lambda: not room.is_busy)
    assert [kind for kind, _, _ in caught] == [ZeroDivisionError]


def test_the_copy_that_was_studied_is_let_go(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    copies: list[weakref.ref[Layout]] = []

    def study(layout: Layout, case: Case) -> Study:
        copies.append(weakref.ref(layout))
        return bench.study(layout, case)

    room = make(Examine(study, bench.check))
    bench.go.set()
    with qtbot.waitSignal(room.answered):
        room.ask()
    gc.collect()
    assert [copy() for copy in copies] == [None]


def test_findings_that_are_held_wait(qtbot: QtBot, bench: Bench, make: Make) -> None:
    room = make(bench.examine)
    bench.go.set()
    room.studied.connect(lambda _: room.hold_findings(hold=True))
    with qtbot.waitSignal(room.studied):
        room.ask()
    qtbot.waitUntil(lambda: not room._after.isActive())
    qtbot.wait(20)
    assert (bench.checked, room.is_busy) == ([], True)
    with qtbot.waitSignal(room.answered):
        room.hold_findings(hold=False)
    assert bench.checked == ["first"]
    assert not room.is_busy


def test_findings_that_are_held_give_way_to_a_newer_state(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    room = make(bench.examine)
    bench.go.set()
    room.studied.connect(lambda _: room.hold_findings(hold=True))
    with qtbot.waitSignal(room.studied):
        room.ask()
    qtbot.waitUntil(lambda: not room._after.isActive())
    bench.title = "second"
    room.ask()
    room.hold_findings(hold=False)
    with qtbot.waitSignal(room.studied):
        pass
    with qtbot.waitSignal(room.answered):
        room.hold_findings(hold=False)
    assert bench.checked == ["second"]


def test_what_the_window_asks_is_worked_out_before_it_is_told(
    qtbot: QtBot, bench: Bench, make: Make
) -> None:
    bench.go.set()
    threads: list[int] = []
    prepared: list[Result] = []

    def prepare(result: Result) -> None:
        prepared.append(result)
        threads.append(get_ident())

    room = make(replace(bench.examine, prepare=prepare))
    with qtbot.waitSignal(room.answered) as told:
        room.ask()
    assert told.args == prepared
    assert get_ident() not in threads


def test_the_window_is_told_of_worst_places_that_are_known() -> None:
    examine = make_examine()
    result = Result(examine.study(board(), Case()), ())
    examine.prepare(result)
    known = set(result.sound.__dict__)
    assert {"weakest_short", "weakest_short_dc"} <= known
    aged = result.aged()
    assert aged.stale
    assert aged.sound is result.sound
