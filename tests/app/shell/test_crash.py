"""A defect shows a window; the work is kept first."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.build import Program
from app.shell.crash import CrashGuard
from core.layout.edits.add import add_booster
from core.layout.parts import Point


@pytest.fixture
def guard(program: Program) -> Iterator[CrashGuard]:
    made = CrashGuard(program.rescue.keep)
    made._before = lambda *_: None  # the console stays quiet in tests
    yield made
    if made.window is not None:
        made.window.reject()


def fail(guard: CrashGuard) -> None:
    error = ZeroDivisionError("nothing to share")
    guard.on_defect(type(error), error, error.__traceback__)


def test_a_defect_shows_what_to_report_and_where_the_work_is(
    qtbot: QtBot, program: Program, guard: CrashGuard
) -> None:
    session = program.session
    session.commit(add_booster(session.layout, Point(x_mm=0.0, y_mm=0.0)))
    fail(guard)
    assert guard.window is not None
    assert "ZeroDivisionError: nothing to share" in guard.window.report.toPlainText()
    kept = list(Path(session._keeper.folder).glob("*.fwl"))
    assert len(kept) == 1
    session.forget_recovery()


def test_a_second_defect_opens_no_second_window(
    qtbot: QtBot, program: Program, guard: CrashGuard
) -> None:
    fail(guard)
    first = guard.window
    fail(guard)
    assert guard.window is first


def test_the_report_can_be_copied(
    qtbot: QtBot, program: Program, guard: CrashGuard
) -> None:
    fail(guard)
    assert guard.window is not None
    guard.window._on_copy()
    assert "nothing to share" in QApplication.clipboard().text()
