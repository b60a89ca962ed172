"""Studies off the window thread: the newest wins, stale answers are dropped."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, QThreadPool, QTimer, Signal, Slot

from app.session.result import Examine, Result
from core.errors import CoreError
from core.layout.layout import Layout

DEBOUNCE_MS = 30
"""How long the layout must be still before it is studied. [ms]"""


class StudyRoom(QObject):
    """Studies one state of the layout at a time, in one thread of its own.

    Signals
    -------
    started()
        A study has begun.
    answered(Result)
        The study of the newest state is there.
    refused(str)
        The newest state cannot be studied; the sentence says why.
    """

    started = Signal()
    answered = Signal(object)
    refused = Signal(str)

    def __init__(
        self,
        examine: Examine,
        snapshot: Callable[[], Layout],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._examine, self._snapshot = examine, snapshot
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._wanted = 0
        self._begun = 0
        self._running: _Job | None = None
        self._timer = QTimer(self, singleShot=True, interval=DEBOUNCE_MS)
        self._timer.timeout.connect(self._begin)

    @property
    def is_busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._timer.isActive() or self._running is not None

    def ask(self, *, now: bool = False) -> None:
        """Ask for a study of the state as it will be in a moment."""
        self._wanted += 1
        self._timer.start(0 if now else DEBOUNCE_MS)

    def close(self) -> None:
        """Ask no more, and wait for the study under way to end."""
        self._timer.stop()
        self._wanted += 1
        self._pool.waitForDone()

    def _begin(self) -> None:
        if self._running is not None:
            return  # `_on_done` begins again, since more is wanted by then
        self._begun = self._wanted
        job = _Job(self._examine, self._snapshot())
        job.told.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._running = job
        self.started.emit()
        self._pool.start(job.run)

    @Slot(object)
    def _on_done(self, outcome: object) -> None:
        self._running = None
        if self._begun != self._wanted:
            if not self._timer.isActive():
                self._begin()
            return
        if isinstance(outcome, CoreError):
            self.refused.emit(outcome.sentence())
        elif isinstance(outcome, Exception):
            raise outcome  # a defect: goes to the crash window
        else:
            self.answered.emit(outcome)


class _Told(QObject):
    """Carries the outcome back to the window thread."""

    done = Signal(object)


class _Job:
    """One study of one copy of the layout; no QRunnable, see `asking`."""

    def __init__(self, examine: Examine, layout: Layout) -> None:
        self.told = _Told()
        self._examine, self._layout = examine, layout

    def run(self) -> None:
        """Study, and hand back a result or what went wrong."""
        outcome: Result | Exception
        try:
            outcome = self._examine(self._layout)
        except Exception as error:  # noqa: BLE001  raised again in the window thread
            outcome = error
        self.told.done.emit(outcome)
