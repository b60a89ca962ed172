"""What the guards in conftest.py look for after each test."""

import gc
import logging
import threading
from time import monotonic, sleep
from types import TracebackType

from PySide6.QtCore import QCoreApplication, QEvent, QThread, QThreadPool, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

PATIENCE_S = 2.0
"""How long work that was told to stop may take to do so. [s]"""

QT_OWN = {"QTipLabel", "QDesktopWidget"}
"""Windows that Qt keeps for itself."""


class LogWatch(logging.Handler):
    """Collects what is logged as a warning or worse while it is entered."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def __enter__(self) -> "LogWatch":
        logging.getLogger().addHandler(self)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        logging.getLogger().removeHandler(self)

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(f"{record.name}: {record.getMessage()}")


def find_left_overs(*, with_qt: bool) -> list[str]:
    """Return the names of threads, and of Qt's windows and timers, still there."""
    left = _threads()
    if with_qt and QApplication.instance() is not None:
        left += _left_in_qt()
    return left


def _threads() -> list[str]:
    until = monotonic() + PATIENCE_S
    while (names := _running_threads()) and monotonic() < until:
        sleep(0.005)
    return [f"thread {name}" for name in names]


def _running_threads() -> list[str]:
    main = threading.main_thread()
    return [
        thread.name
        for thread in threading.enumerate()
        # Threads that Qt runs Python code in show as dummies and stay listed.
        if thread is not main
        and not isinstance(thread, threading._DummyThread)
        and not thread.name.startswith("execnet")
    ]


def _left_in_qt() -> list[str]:
    _let_go()
    pool = QThreadPool.globalInstance()
    left = [] if pool.waitForDone(int(PATIENCE_S * 1000)) else ["work in the pool"]
    if _windows() or _timers_and_threads():
        gc.collect()
        _let_go()
    return left + _windows() + _timers_and_threads()


def _let_go() -> None:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    QCoreApplication.processEvents()


def _windows() -> list[str]:
    return [
        f"window {kind} {widget.windowTitle()!r}"
        for widget in QApplication.topLevelWidgets()
        if widget.parent() is None
        and (kind := widget.metaObject().className()) not in QT_OWN
        and not _is_closed_menu(widget)
    ]


def _is_closed_menu(widget: QWidget) -> bool:
    """Tell whether it is a pop-up that Qt made itself and keeps hidden."""
    return widget.isHidden() and widget.metaObject().className().startswith("QComboBox")


def _timers_and_threads() -> list[str]:
    found: list[str] = []
    for thing in gc.get_objects():
        kind = type(thing)
        if issubclass(kind, QTimer) and isValid(thing) and thing.isActive():
            found.append(f"timer of {thing.parent()}")
        if issubclass(kind, QThread) and isValid(thing) and _is_worker(thing):
            found.append(f"thread {thing}")
    return found


def _is_worker(thread: QThread) -> bool:
    return thread.isRunning() and not thread.isCurrentThread()
