"""Questions that take a while: worked out off the window thread, the newest wins."""

from collections.abc import Callable
from threading import Event

from PySide6.QtCore import QObject, Qt, Signal, Slot

from app.session.pooling import make_pool
from core.errors import CoreError


class Talk:
    """What work in the background may say, and whether it should go on."""

    def __init__(self, told: Callable[[object], object]) -> None:
        self._told = told
        self._over = Event()

    def tell(self, piece: object) -> None:
        """Hand a piece of the answer to the window."""
        if not self._over.is_set():
            self._told(piece)

    def goes_on(self) -> bool:
        """Return whether the answer is still wanted."""
        return not self._over.is_set()

    def end(self) -> None:
        """Want no answer any more."""
        self._over.set()


Work = Callable[[Talk], object]
"""Works a question out in another thread; must not touch what may change."""


class Inquiry(QObject):
    """Works out one question at a time; a new one puts the old one aside.

    Signals
    -------
    told(object)
        A piece of the answer to the newest question.
    answered(object)
        The whole of it.
    refused(str)
        It cannot be answered; the sentence says why.
    """

    told = Signal(object)
    answered = Signal(object)
    refused = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = make_pool(self)
        self._job: _Job | None = None

    @property
    def is_busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._job is not None

    def ask(self, work: Work) -> None:
        """Begin to work a question out."""
        self.stop()
        job = _Job(work)
        queued = Qt.ConnectionType.QueuedConnection
        job.news.told.connect(self._on_told, queued)
        job.news.done.connect(self._on_done, queued)
        self._job = job
        self._pool.start(job.run)

    def stop(self) -> None:
        """Want no answer any more."""
        if self._job is not None:
            self._job.talk.end()
            self._job = None

    def close(self) -> None:
        """Stop, and wait until the work has ended."""
        self.stop()
        self._pool.waitForDone()

    @Slot(object, object)
    def _on_told(self, job: object, piece: object) -> None:
        if job is self._job:
            self.told.emit(piece)

    @Slot(object, object)
    def _on_done(self, job: object, outcome: object) -> None:
        if job is not self._job:
            return
        self._job = None
        if isinstance(outcome, CoreError):
            self.refused.emit(outcome.sentence())
        elif isinstance(outcome, Exception):
            raise outcome  # a defect: goes to the crash window
        else:
            self.answered.emit(outcome)


class _News(QObject):
    """Carries news back to the window thread."""

    told = Signal(object, object)
    done = Signal(object, object)


class _Job:
    """One question; its method `run` is what the pool calls.

    WORKAROUND: no QRunnable, since PySide6 never lets go of one that was started.
    """

    def __init__(self, work: Work) -> None:
        self.news = _News()
        self.talk = Talk(lambda piece: self.news.told.emit(self, piece))
        self._work = work

    def run(self) -> None:
        """Work it out, and hand back the answer or what went wrong."""
        if not self.talk.goes_on():
            return
        outcome: object
        try:
            outcome = self._work(self.talk)
        except Exception as error:  # noqa: BLE001  raised again in the window thread
            outcome = error
        self.news.done.emit(self, outcome)
