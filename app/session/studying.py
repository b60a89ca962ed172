"""Studies off the window thread: the newest wins, stale answers are dropped."""

from collections.abc import Callable
from functools import partial
from typing import cast

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot

from app.session.pooling import make_pool
from app.session.result import Examine, Result
from core.analysis.study import Case, Study
from core.errors import CoreError
from core.layout.layout import Layout

PAINT_MS = 25
"""How long the findings wait, so that the colours are painted before them. [ms]"""


class StudyRoom(QObject):
    """Works out one state of the layout at a time, in one thread of its own.

    A study is handed out as soon as it stands, for the colours; its findings
    follow, a moment later and not while they are held: both want Python. A state
    that comes between the two takes the place of the old one.

    Signals
    -------
    started()
        A study has begun.
    studied(Study)
        The study of the newest state is there, its findings are not.
    answered(Result)
        The findings of the newest state are there too.
    refused(str)
        The newest state cannot be studied; the sentence says why.
    """

    started = Signal()
    studied = Signal(object)
    answered = Signal(object)
    refused = Signal(str)

    def __init__(
        self,
        examine: Examine,
        snapshot: Callable[[], tuple[Layout, Case]],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._examine, self._snapshot = examine, snapshot
        self._pool = make_pool(self)
        self._wanted = 0
        self._begun = 0
        self._running: _Job | None = None
        # At once, but after what is to be painted of the change itself.
        self._soon = QTimer(self, singleShot=True, interval=0)
        self._soon.timeout.connect(self._begin)
        self._after = QTimer(self, singleShot=True, interval=PAINT_MS)
        self._after.timeout.connect(self._on_moment)
        self._is_held = self._waits = False
        self._study: Study | None = None

    @property
    def is_busy(self) -> bool:
        """Whether an answer is still to come."""
        waits = self._soon.isActive() or self._after.isActive()
        return waits or self._waits or self._running is not None

    def ask(self) -> None:
        """Ask for a study of the state as it will be in a moment."""
        self._wanted += 1
        self._after.stop()
        self._waits = False
        self._soon.start()

    def hold_findings(self, *, hold: bool) -> None:
        """Begin no findings while something more urgent wants Python."""
        self._is_held = hold
        if not hold and self._waits:
            self._check()

    def close(self) -> None:
        """Ask no more, and wait for the work under way to end."""
        self._soon.stop()
        self._after.stop()
        self._waits = False
        self._wanted += 1
        self._pool.waitForDone()

    def _begin(self) -> None:
        if self._running is not None:
            return  # `_is_wanted` begins again, since more is wanted by then
        self._begun = self._wanted
        self.started.emit()
        self._run(partial(self._examine.study, *self._snapshot()), self._on_studied)

    def _on_moment(self) -> None:
        if self._is_held:
            self._waits = True
        else:
            self._check()

    def _check(self) -> None:
        self._waits = False
        study, self._study = self._study, None
        assert study is not None, "waits only after a study"
        self._run(partial(self._findings, study), self._on_checked)

    def _findings(self, study: Study) -> Result:
        result = Result(study, self._examine.check(study))
        self._examine.prepare(result)
        return result

    def _run(self, work: Callable[[], object], then: Callable[[object], None]) -> None:
        job = _Job(work)
        job.told.done.connect(then, Qt.ConnectionType.QueuedConnection)
        self._running = job
        self._pool.start(job.run)

    @Slot(object)
    def _on_studied(self, study: object) -> None:
        if self._is_wanted(study):
            self._study = cast("Study", study)
            self._after.start()
            self.studied.emit(study)

    @Slot(object)
    def _on_checked(self, result: object) -> None:
        if self._is_wanted(result):
            self.answered.emit(result)

    def _is_wanted(self, outcome: object) -> bool:
        """Return whether an outcome is an answer of the newest state."""
        self._running = None
        if self._begun != self._wanted:
            if not self._soon.isActive():
                self._begin()
            return False
        if isinstance(outcome, CoreError):
            self.refused.emit(outcome.sentence())
            return False
        if isinstance(outcome, Exception):
            raise outcome  # a defect: goes to the crash window
        return True


class _Told(QObject):
    """Carries the outcome back to the window thread."""

    done = Signal(object)


class _Job:
    """One piece of work; no QRunnable, see `asking`."""

    def __init__(self, work: Callable[[], object]) -> None:
        self.told = _Told()
        self._work = work

    def run(self) -> None:
        """Do it, and hand back what came of it or what went wrong."""
        outcome: object
        try:
            outcome = self._work()
        except Exception as error:  # noqa: BLE001  raised again in the window thread
            outcome = error
        self.told.done.emit(outcome)
