"""A pool goes with its owner, whatever its thread is doing."""

import time
from threading import Event

from PySide6.QtCore import QCoreApplication, QEvent, QObject

from app.session.pooling import make_pool


class Heard(QObject):
    """Hears of its own end in Python, as a canvas does."""

    def event(self, event: QEvent) -> bool:
        return super().event(event)


def test_an_owner_can_go_while_python_runs_in_its_pool(qapp: QCoreApplication) -> None:
    owner, began, ended = Heard(), Event(), Event()

    def work() -> None:
        began.set()
        until = time.monotonic() + 0.2
        while time.monotonic() < until:
            time.sleep(0.001)
        ended.set()

    make_pool(owner).start(work)
    assert began.wait(10.0)
    owner.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert ended.is_set()


def test_what_waits_in_a_pool_is_dropped(qapp: QCoreApplication) -> None:
    owner, began, go_on, done = Heard(), Event(), Event(), []

    def first() -> None:
        began.set()
        go_on.wait(0.2)
        done.append("first")

    pool = make_pool(owner)
    pool.start(first)
    pool.start(lambda: done.append("second"))
    assert began.wait(10.0)
    owner.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert done == ["first"]
