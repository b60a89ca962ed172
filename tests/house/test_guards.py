"""The guards of conftest.py see what is left behind."""

import logging
import threading

import pytest
from PySide6.QtCore import QObject, QThread, QTimer
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from tests.guards import LogWatch, find_left_overs


def test_nothing_is_found_where_nothing_is_left(qapp: QApplication) -> None:
    assert find_left_overs(with_qt=True) == []


def test_a_window_left_open_is_found(qapp: QApplication) -> None:
    window = QWidget()
    window.setWindowTitle("Left open")
    assert find_left_overs(with_qt=True) == ["window QWidget 'Left open'"]
    window.deleteLater()


def test_a_dialog_of_a_window_is_not_counted_beside_it(qapp: QApplication) -> None:
    window = QWidget()
    QDialog(window)
    assert len(find_left_overs(with_qt=True)) == 1
    window.deleteLater()


def test_a_running_timer_is_found(qapp: QApplication) -> None:
    owner = QObject()
    timer = QTimer(owner)
    timer.start(10_000)
    assert len(find_left_overs(with_qt=True)) == 1
    timer.stop()


def test_a_running_thread_of_qt_is_found(qapp: QApplication) -> None:
    thread = QThread()
    thread.start()
    assert len(find_left_overs(with_qt=True)) == 1
    thread.quit()
    assert thread.wait(2000)


def test_a_running_thread_of_python_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.guards.PATIENCE_S", 0.05)
    free = threading.Event()
    thread = threading.Thread(target=free.wait, name="left over")
    thread.start()
    assert find_left_overs(with_qt=False) == ["thread left over"]
    free.set()
    thread.join()


def test_a_logged_warning_is_seen_and_a_note_is_not(
    caplog: pytest.LogCaptureFixture,
) -> None:
    with LogWatch() as watch:
        logging.getLogger("core.any").info("a note")
        logging.getLogger("core.any").warning("mind the %s", "gap")
    assert watch.lines == ["core.any: mind the gap"]
