"""Keeps unsaved work on the disk, a few seconds behind the hand."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import (
    QObject,
    QRunnable,
    QStandardPaths,
    Qt,
    QTimer,
    Signal,
)

from app.session.pooling import make_pool
from core.errors import CoreError
from core.layout.layout import Layout
from core.layout.storage.recover import clear_recovery, write_recovery

BEHIND_MS = 3_000
"""How long after a change it is kept. [ms]"""

Snapshot = Callable[[], tuple[Layout, Path | None]]
"""Returns a copy of the layout, and the file that it came from."""


def recovery_folder() -> Path:
    """Return where this person's unsaved work is kept."""
    kind = QStandardPaths.StandardLocation.GenericDataLocation
    return Path(QStandardPaths.writableLocation(kind)) / "Feederwright" / "unsaved"


class RecoveryKeeper(QObject):
    """Writes the journal of one session; see `core.layout.storage.recover`.

    Signals
    -------
    failed(str)
        It could not be kept; told once, until it works again.
    """

    failed = Signal(str)

    def __init__(
        self, folder: Path, snapshot: Snapshot, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.folder, self._snapshot = folder, snapshot
        self._kept = False
        self._job: _Job | None = None
        self._complained = False
        self._pool = make_pool(self)
        self._timer = QTimer(self, singleShot=True, interval=BEHIND_MS)
        self._timer.timeout.connect(self._begin)

    def touch(self) -> None:
        """Keep the work soon; further changes do not put it off."""
        if not self._timer.isActive():
            self._timer.start()

    def keep_now(self) -> Path:
        """Keep the work at once, and return where.

        Raises
        ------
        CoreError
            It cannot be written.
        """
        self._settle()
        layout, path = self._snapshot()
        self._kept = True
        return write_recovery(layout, path, self.folder)

    def clear(self) -> None:
        """Let go of what was kept: it is saved, or not wanted."""
        self._settle()
        if self._kept:
            self._kept = False
            clear_recovery(self.folder)

    def close(self) -> None:
        """Keep no more, and wait for what is being written."""
        self._settle()

    def _settle(self) -> None:
        self._timer.stop()
        self._pool.waitForDone()

    def _begin(self) -> None:
        layout, path = self._snapshot()
        job = _Job(layout, path, self.folder)
        job.told.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._kept = True
        self._job = job
        self._pool.start(job)

    def _on_done(self, outcome: object) -> None:
        if isinstance(outcome, CoreError):
            if not self._complained:
                self.failed.emit(f"Unsaved work cannot be kept. {outcome.sentence()}")
            self._complained = True
        elif isinstance(outcome, Exception):
            raise outcome  # a defect: goes to the crash window
        else:
            self._complained = False


class _Told(QObject):
    """Carries the outcome back to the window thread."""

    done = Signal(object)


class _Job(QRunnable):
    """Writes one state."""

    def __init__(self, layout: Layout, path: Path | None, folder: Path) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self.told = _Told()
        self._layout, self._path, self._folder = layout, path, folder

    def run(self) -> None:
        """Write, and hand back what went wrong, if anything."""
        outcome: Exception | None = None
        try:
            write_recovery(self._layout, self._path, self._folder)
        except Exception as error:  # noqa: BLE001  raised again in the window thread
            outcome = error
        self.told.done.emit(outcome)
