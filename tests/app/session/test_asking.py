"""Questions off the window thread: the newest wins, nothing is kept."""

import gc
import weakref
from collections.abc import Iterator
from threading import Event, get_ident

import pytest
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from app.session.asking import Inquiry, Talk
from core.errors import EditError


@pytest.fixture
def inquiry(qtbot: QtBot) -> Iterator[Inquiry]:
    made = Inquiry()
    yield made
    made.close()
    made.deleteLater()


def test_the_answer_comes_from_another_thread(qtbot: QtBot, inquiry: Inquiry) -> None:
    with qtbot.waitSignal(inquiry.answered) as told:
        inquiry.ask(lambda _: get_ident())
    assert told.args != [get_ident()]


def test_pieces_come_before_the_whole(qtbot: QtBot, inquiry: Inquiry) -> None:
    heard: list[object] = []
    inquiry.told.connect(heard.append)
    inquiry.answered.connect(heard.append)

    def work(talk: Talk) -> str:
        talk.tell("one")
        talk.tell("two")
        return "whole"

    with qtbot.waitSignal(inquiry.answered):
        inquiry.ask(work)
    assert heard == ["one", "two", "whole"]


def test_only_the_newest_question_is_answered(qtbot: QtBot, inquiry: Inquiry) -> None:
    answers: list[object] = []
    inquiry.answered.connect(answers.append)
    go = Event()

    def slow(_: Talk) -> str:
        assert go.wait(5)
        return "slow"

    inquiry.ask(slow)
    inquiry.ask(lambda _: "overtaken")
    inquiry.ask(lambda _: "newest")
    go.set()
    qtbot.waitUntil(lambda: not inquiry.is_busy)
    assert answers == ["newest"]


def test_stopped_work_is_told_so_and_not_heard(qtbot: QtBot, inquiry: Inquiry) -> None:
    heard: list[object] = []
    inquiry.told.connect(heard.append)
    inquiry.answered.connect(heard.append)
    begun, go, seen = Event(), Event(), list[bool]()

    def work(talk: Talk) -> None:
        begun.set()
        assert go.wait(5)
        seen.append(talk.goes_on())
        talk.tell("too late")

    inquiry.ask(work)
    assert begun.wait(5)
    inquiry.stop()
    go.set()
    inquiry.close()
    qtbot.wait(1)  # lets what may be on its way arrive
    assert (seen, heard) == ([False], [])


def test_what_cannot_be_answered_is_said(qtbot: QtBot, inquiry: Inquiry) -> None:
    def refuse(_: Talk) -> None:
        raise EditError("There is no bus B1.", "Draw one.")

    with qtbot.waitSignal(inquiry.refused) as said:
        inquiry.ask(refuse)
    assert said.args == ["There is no bus B1. Draw one."]


def test_a_defect_is_raised_in_the_window_thread(
    qtbot: QtBot, inquiry: Inquiry
) -> None:
    def fail(_: Talk) -> None:
        raise ZeroDivisionError

    with capture_exceptions() as caught:
        inquiry.ask(fail)
        qtbot.waitUntil(lambda: not inquiry.is_busy)
    assert [kind for kind, _, _ in caught] == [ZeroDivisionError]


def test_what_a_question_was_about_is_let_go(qtbot: QtBot, inquiry: Inquiry) -> None:
    class Big:
        """Stands for a study, which takes megabytes."""

    big = Big()
    gone = weakref.ref(big)
    with qtbot.waitSignal(inquiry.answered):
        inquiry.ask(lambda _, big=big: len(repr(big)))  # type: ignore[misc]
    del big
    inquiry.close()
    gc.collect()
    assert gone() is None
