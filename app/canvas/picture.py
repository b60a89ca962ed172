"""Reads the backdrop's picture off the window thread, faded into the paper."""

from PySide6.QtCore import (
    QBuffer,
    QByteArray,
    QIODevice,
    QObject,
    QRunnable,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QImage, QImageReader, QPainter

from app.session.pooling import make_pool
from core.layout.parts import Backdrop

MOST_PIXELS = 24_000_000
"""Larger pictures are read smaller: 6000 by 4000 shows a 6 m room at 1 mm. [px]"""

LEAST_LEVEL_PX = 1200
"""Halves are made until a picture is no wider than this. [px]"""

LIMIT_MB = 512
"""What reading one picture may take. [MB]"""

_FORMATS = {"image/png": b"png", "image/jpeg": b"jpeg"}


class PictureRoom(QObject):
    """Reads one picture at a time; the newest wins.

    Signals
    -------
    ready(Backdrop, tuple of QImage)
        The picture and its halves; none where it cannot be read.
    """

    ready = Signal(object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = make_pool(self)
        self._wanted: Backdrop | None = None
        self._jobs: list[_Job] = []

    def read(self, backdrop: Backdrop | None, paper: str) -> None:
        """Read a picture, to be handed back by `ready`."""
        self._wanted = backdrop
        if backdrop is None:
            return
        job = _Job(backdrop, paper)
        job.told.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        # Jobs are kept till after they have ended: Qt still runs in them.
        self._jobs = [old for old in self._jobs if not old.is_done] + [job]
        self._pool.start(job)

    def close(self) -> None:
        """Read no more."""
        self._wanted = None
        self._pool.waitForDone()

    def _on_done(self, job: "_Job", levels: tuple[QImage, ...]) -> None:
        job.is_done = True
        if job.backdrop is self._wanted:
            self.ready.emit(job.backdrop, levels)


class _Told(QObject):
    done = Signal(object, object)


class _Job(QRunnable):
    """Reads one picture."""

    def __init__(self, backdrop: Backdrop, paper: str) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self.told = _Told()
        self.is_done = False
        self.backdrop, self._paper = backdrop, paper

    def run(self) -> None:
        """Read it, and hand it back."""
        self.told.done.emit(self, read_levels(self.backdrop, self._paper))


def read_levels(backdrop: Backdrop, paper: str) -> tuple[QImage, ...]:
    """Return a picture faded into the paper, and its halves; none if unreadable."""
    image = _decode(backdrop)
    if image.isNull():
        return ()
    level = _fade(image, paper, backdrop.opacity)
    levels = [level]
    while level.width() > LEAST_LEVEL_PX:
        level = level.scaled(
            QSize(max(level.width() // 2, 1), max(level.height() // 2, 1)),
            Qt.AspectRatioMode.IgnoreAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        levels.append(level)
    return tuple(levels)


def _decode(backdrop: Backdrop) -> QImage:
    buffer = QBuffer()
    buffer.setData(QByteArray(backdrop.data))
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    QImageReader.setAllocationLimit(LIMIT_MB)
    reader = QImageReader(buffer, QByteArray(_FORMATS[backdrop.media]))
    reader.setAutoDetectImageFormat(False)
    reader.setAutoTransform(True)
    size = reader.size()
    pixels = size.width() * size.height()
    if pixels > MOST_PIXELS:
        times = (MOST_PIXELS / pixels) ** 0.5
        reader.setScaledSize(
            QSize(int(size.width() * times), int(size.height() * times))
        )
    return reader.read()


def _fade(image: QImage, paper: str, opacity: float) -> QImage:
    faded = QImage(image.size(), QImage.Format.Format_RGB32)
    faded.fill(QColor(paper))
    painter = QPainter(faded)
    painter.setOpacity(opacity)
    painter.drawImage(0, 0, image)
    painter.end()
    return faded
