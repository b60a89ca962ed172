"""Makes the sheet off the window thread, with progress, and stops when told to."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Event
from typing import Any

from PySide6.QtCore import QDate, QObject, Qt, Signal
from PySide6.QtGui import QImage

from app.session.pooling import make_pool
from app.session.result import Result
from core.errors import CoreError
from core.sheet.brief import Options

Progress = Callable[[float, str], bool]
WriteSheet = Callable[[Result, Path, Options, Progress], bool]
"""Writes the sheet of a result to a file; see `core.sheet.write`."""


class Wishes(QObject):
    """Which pages are wanted; the panel sets them, preview and press follow."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.options = Options()

    def set_option(self, name: str, wanted: bool) -> None:  # noqa: FBT001
        """Want one of the choices of `Options`, or not."""
        choice: dict[str, Any] = {name: wanted}
        self.options = replace(self.options, **choice)
        self.changed.emit()

    def today(self) -> Options:
        """Return what is wanted, with the date of today."""
        date = QDate.currentDate().toString(Qt.DateFormat.ISODate)
        return replace(self.options, date=date)


@dataclass(frozen=True, slots=True)
class Done:
    """How it ended: the file and its pages, or why not; neither when stopped."""

    path: Path
    pages: tuple[QImage, ...] = ()
    trouble: str = ""
    stopped: bool = False


class Press(QObject):
    """Makes one sheet at a time; asking for another stops the one before.

    Signals
    -------
    progressed(float, str)
        Share done, from 0 to 1, and what is being done.
    finished(Done)
        It ended, one way or another; not told for one that was overtaken.
    """

    progressed = Signal(float, str)
    finished = Signal(object)

    def __init__(
        self, write: WriteSheet, wishes: Wishes, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._write, self._wishes = write, wishes
        self._pool = make_pool(self)
        self._job: _Job | None = None

    @property
    def is_busy(self) -> bool:
        """Whether a sheet is being made."""
        return self._job is not None

    def start(self, result: Result, path: Path, *, page_px: int = 0) -> None:
        """Begin to make a sheet; `page_px` also draws it, so wide, for the screen."""
        self.stop()
        options = self._wishes.today()

        def write(progress: Progress) -> bool:
            return self._write(result, path, options, progress)

        job = _Job(write, path, page_px)
        queued = Qt.ConnectionType.QueuedConnection
        job.told.progressed.connect(self.progressed, queued)
        job.told.done.connect(self._on_done, queued)
        self._job = job
        self._pool.start(job.run)

    def stop(self) -> None:
        """Stop what is being made."""
        if self._job is not None:
            self._job.stop.set()
            self._job.told.progressed.disconnect(self.progressed)
            self._job = None

    def close(self) -> None:
        """Stop, and wait until that is so."""
        self.stop()
        self._pool.waitForDone()

    def _on_done(self, job: object, outcome: object) -> None:
        if job is not self._job:
            return
        self._job = None
        if isinstance(outcome, Exception):
            raise outcome  # a defect: goes to the crash window
        self.finished.emit(outcome)


class _Told(QObject):
    """Carries news back to the window thread."""

    progressed = Signal(float, str)
    done = Signal(object, object)


class _Job:
    """One sheet; no QRunnable, see `app.session.asking`."""

    def __init__(
        self, write: Callable[[Progress], bool], path: Path, page_px: int
    ) -> None:
        self.told, self.stop = _Told(), Event()
        self._write, self._path, self._page_px = write, path, page_px

    def run(self) -> None:
        """Make it, and tell how it ended."""
        outcome: Done | Exception
        try:
            outcome = self._make()
        except CoreError as error:
            outcome = Done(self._path, trouble=error.sentence())
        except Exception as error:  # noqa: BLE001  raised again in the window thread
            outcome = error
        self.told.done.emit(self, outcome)

    def _make(self) -> Done:
        if not self._write(self._progress):
            return Done(self._path, stopped=True)
        if not self._page_px:
            return Done(self._path)
        return Done(self._path, draw_pages(self._path, self._page_px, self.stop))

    def _progress(self, share: float, words: str) -> bool:
        self.told.progressed.emit(share, words)
        return not self.stop.is_set()


def draw_pages(path: Path, width_px: int, stop: Event) -> tuple[QImage, ...]:
    """Return the pages of our own PDF as pictures."""
    import pypdfium2  # noqa: PLC0415  wanted in this stage only

    pages: list[QImage] = []
    document = pypdfium2.PdfDocument(str(path))
    try:
        for leaf in document:
            if stop.is_set():
                break
            bitmap = leaf.render(scale=width_px / leaf.get_width())
            image = QImage(
                bytes(bitmap.buffer),
                bitmap.width,
                bitmap.height,
                bitmap.stride,
                QImage.Format.Format_BGR888,
            )
            pages.append(image.copy())
            leaf.close()
    finally:
        document.close()
    return tuple(pages)
