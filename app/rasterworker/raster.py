"""Pictures made of pixels."""

from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QImageReader

from app.rasterworker.limits import KEPT_PIXELS, KEPT_SIDE, MOST_PIXELS, RefusedError

ALLOCATION_MB = 1024
"""Qt's own limit; it counts 32 bits a pixel. [MB]"""


def read_raster(path: Path, kind: str) -> QImage:
    """Return a picture, turned as its camera says and no larger than is kept."""
    QImageReader.setAllocationLimit(ALLOCATION_MB)
    reader = QImageReader(str(path))
    # Else a drawing named scan.png would be read as a drawing after all.
    reader.setAutoDetectImageFormat(False)
    reader.setFormat(kind.encode())
    reader.setAutoTransform(True)
    size = reader.size()
    _check(path, size)
    kept = kept_size(size)
    if kept != size:
        reader.setScaledSize(kept)
    image = reader.read()
    if image.isNull():
        raise RefusedError(
            f"{path.name} is damaged: {reader.errorString().rstrip('.')}.",
            "Open it in a picture program and save it again.",
        )
    return image


def kept_size(size: QSize) -> QSize:
    """Return the size that a picture is kept at."""
    width, height = max(size.width(), 1), max(size.height(), 1)
    factor = min(
        1.0,
        KEPT_SIDE / max(width, height),
        (KEPT_PIXELS / (width * height)) ** 0.5,
    )
    return QSize(max(int(width * factor), 1), max(int(height * factor), 1))


def _check(path: Path, size: QSize) -> None:
    if not size.isValid() or size.isEmpty():
        raise RefusedError(f"{path.name} does not say how large it is; it is damaged.")
    pixels = size.width() * size.height()
    if pixels > MOST_PIXELS:
        raise RefusedError(
            f"{path.name} has {size.width()} × {size.height()} pixels; at most "
            f"{MOST_PIXELS // 1_000_000} million are read.",
            "Save it at half the size and take that.",
        )
