"""Takes in a backdrop picture: a child process reads it, with a clock running."""

import json
import sys
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import (
    QObject,
    QProcess,
    QProcessEnvironment,
    QTemporaryDir,
    QTimer,
    Signal,
)
from PySide6.QtGui import QImage

from core.layout.parts import Backdrop

MOST_MS = 30_000
"""How long reading a picture may take. [ms]"""

SUFFIXES = "*.png *.jpg *.jpeg *.tif *.tiff *.webp *.bmp *.gif *.pdf *.svg *.dxf"

SLOW = "{name} took too long to read, so it was left. Save it as PNG and take that."
BROKEN = "{name} could not be read. Save it as PNG and take that."


@dataclass(frozen=True, slots=True)
class Taken:
    """A picture as it will lie in the layout, and where it came from."""

    backdrop: Backdrop
    source: Path
    page: int
    pages: int
    has_scale: bool


class Intake(QObject):
    """Reads one picture at a time.

    Signals
    -------
    busy(bool)
        Whether one is being read.
    taken(Taken)
        One was read.
    refused(str)
        One was not; the sentence says why.
    """

    busy = Signal(bool)
    taken = Signal(object)
    refused = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = QTemporaryDir()
        self._process: QProcess | None = None
        self._source, self._page, self._name = Path(), 0, ""
        self._clock = QTimer(self, singleShot=True, interval=MOST_MS)
        self._clock.timeout.connect(self._on_slow)

    def read(self, source: Path, page: int = 0, name: str = "") -> None:
        """Begin to read a picture file; what is being read is given up."""
        self.stop()
        self._source, self._page = source, page
        self._name = name or source.name
        process = QProcess(self)
        process.setProcessEnvironment(_environment())
        process.finished.connect(self._on_finished)
        process.errorOccurred.connect(self._on_error)
        self._process = process
        self._clock.start()
        self.busy.emit(True)  # noqa: FBT003
        arguments = [
            "-m",
            "app.rasterworker",
            str(source),
            str(self._target),
            str(page),
        ]
        process.start(sys.executable, arguments)

    def read_image(self, image: QImage, name: str) -> None:
        """Begin to take in a picture that has no file, such as a pasted one."""
        path = Path(self._folder.filePath("pasted.png"))
        image.save(str(path))
        self.read(path, name=name)

    def stop(self) -> None:
        """Give up what is being read."""
        process, self._process = self._process, None
        self._clock.stop()
        if process is not None:
            process.kill()
            process.waitForFinished()
            process.deleteLater()
            self.busy.emit(False)  # noqa: FBT003

    @property
    def _target(self) -> Path:
        return Path(self._folder.filePath("taken"))

    def _on_slow(self) -> None:
        self.stop()
        self.refused.emit(SLOW.format(name=self._name))

    def _on_error(self, error: QProcess.ProcessError) -> None:
        if error == QProcess.ProcessError.FailedToStart and self._process is not None:
            self._end(BROKEN.format(name=self._name))

    def _on_finished(self) -> None:
        if self.sender() is not self._process or self._process is None:
            return  # one that was given up
        told = bytes(self._process.readAllStandardOutput().data())
        try:
            answer = json.loads(told)
        except ValueError:
            self._end(BROKEN.format(name=self._name))
            return
        self._end(answer.get("error", ""))
        if "error" not in answer:
            self.taken.emit(self._taken(answer))

    def _end(self, error: str) -> None:
        assert self._process is not None
        self._clock.stop()
        self._process.deleteLater()
        self._process = None
        self.busy.emit(False)  # noqa: FBT003
        if error:
            self.refused.emit(error)

    def _taken(self, answer: dict[str, object]) -> Taken:
        scale = answer["mm_per_px"]
        backdrop = Backdrop(
            name=self._name[:200],
            media="image/png" if answer["media"] == "image/png" else "image/jpeg",
            data=self._target.read_bytes(),
            width_px=int(str(answer["width_px"])),
            height_px=int(str(answer["height_px"])),
            mm_per_px=float(scale) if isinstance(scale, float) else 1.0,
        )
        pages = int(str(answer["pages"]))
        return Taken(backdrop, self._source, self._page, pages, scale is not None)


def _environment() -> QProcessEnvironment:
    """Return what the child needs to find this program's modules."""
    environment = QProcessEnvironment.systemEnvironment()
    environment.insert("PYTHONPATH", str(Path(__file__).resolve().parents[2]))
    return environment
