"""The line at the bottom and the notices: whole hints, and a plan that never moves."""

import pkgutil
from collections.abc import Iterator
from importlib import import_module

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import app.tools
from app.build import Program
from app.tools.placing.span import Plank
from app.tools.placing.stamp import Recipe
from app.tools.state import State

WIDTH = 1366
"""The narrowest screen that people still have (common practice, no source). [px]"""

MEASURE = "arc, radius 1.464 m, 167.36° to the right, 1.546 m long · whole run 12.79 m"


def hints() -> Iterator[str]:
    """Yield every hint that a tool can give, with the places for words filled."""
    for found in pkgutil.walk_packages(app.tools.__path__, "app.tools."):
        for name, thing in vars(import_module(found.name)).items():
            match thing:
                case str() if "HINT" in name:
                    yield thing.format(word="three-way turnout, staggered")
                case dict() if "HINT" in name:
                    yield from thing.values()
                case Plank():
                    yield from (thing.hint, thing.hint_open)
                case Recipe():
                    yield thing.hint
                case type() if issubclass(thing, State) and isinstance(thing.hint, str):
                    yield thing.hint
                case _:
                    pass


ALL = sorted({hint for hint in hints() if hint})


def test_there_are_hints_of_every_tool() -> None:
    assert len(ALL) > 40


@pytest.fixture
def at_work(program: Program) -> Program:
    program.filing.new()
    program.bench.set_stage("track")
    program.window.resize(WIDTH, 768)
    QTest.qWait(50)
    return program


def test_every_hint_stands_whole_on_a_small_screen(at_work: Program) -> None:
    status = at_work.bench.status
    status.show_pointer(12_345.0, 12_345.0)
    cut = []
    for measure in ("", MEASURE):
        status.show_measure(measure)
        for hint in ALL:
            status.show_hint(hint)
            QApplication.processEvents()
            label = status.hint
            box = label.fontMetrics().boundingRect(
                0, 0, label.width(), 9999, Qt.TextFlag.TextWordWrap, hint
            )
            if box.height() > label.height() or box.width() > label.width():
                cut.append((bool(measure), hint))
    assert not cut, "\n".join(map(str, cut))


def test_a_notice_moves_nothing(at_work: Program) -> None:
    canvas = at_work.canvas
    before = canvas.mapToScene(QPoint(300, 300)), canvas.size()
    at_work.session.refusal.emit("Something is in the way. Place it elsewhere.")
    QTest.qWait(50)
    notices = at_work.notices
    assert notices.isVisible()
    assert (canvas.mapToScene(QPoint(300, 300)), canvas.size()) == before
    status = at_work.bench.status
    assert notices.mapTo(at_work.window, QPoint()).y() >= (
        status.mapTo(at_work.window, QPoint()).y()
    )


def test_a_refusal_goes_when_the_next_gesture_begins(at_work: Program) -> None:
    at_work.session.refusal.emit("Something is in the way.")
    QTest.mouseMove(at_work.canvas.viewport(), QPoint(300, 300))
    assert at_work.notices.isVisible()
    QTest.mouseClick(
        at_work.canvas.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(300, 300)
    )
    assert not at_work.notices.isVisible()


def test_other_trouble_stays_until_it_is_closed(at_work: Program) -> None:
    at_work.session.notice.emit("The disk is full.")
    QTest.mouseClick(
        at_work.canvas.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(300, 300)
    )
    assert at_work.notices.isVisible()


def test_news_after_a_refusal_stay(qtbot: QtBot, at_work: Program) -> None:
    at_work.session.refusal.emit("Something is in the way.")
    at_work.notices.tell("Saved: plan.fwl")
    at_work.canvas.gesture_begun.emit()
    assert at_work.notices.isVisible()
