"""`python -m app.rasterworker FILE OUT [PAGE]`: read a picture, write it plain.

Prints one JSON object: media, width_px, height_px, pages, mm_per_px; or error.
"""

import json
import os
import sys
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"  # this process never shows a window

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QGuiApplication, QImage, QImageWriter, QPainter

from app.rasterworker.limits import KEPT_BYTES, RefusedError, hold_down
from app.rasterworker.raster import kept_size, read_raster
from app.rasterworker.sniff import sniff
from app.rasterworker.vector import read_dxf, read_pdf, read_svg

PNG_BYTES = 4_000_000
"""A larger PNG is a photograph: it is kept as JPEG. [B]"""

JPEG_QUALITY = 88


def convert(source: Path, target: Path, page: int) -> dict[str, object]:
    """Read a picture and write it as PNG or JPEG; return what it is now."""
    kind = sniff(source)
    pages, mm_per_px = 1, None
    if kind == "pdf":
        image, pages = read_pdf(source, page)
    elif kind == "svg":
        image = read_svg(source)
    elif kind == "dxf":
        image, mm_per_px = read_dxf(source)
    else:
        image = read_raster(source, kind)
    before = image.width()
    media, data, image = _encode(_flat(image))
    target.write_bytes(data)
    if mm_per_px is not None:
        mm_per_px *= before / image.width()
    return {
        "media": media,
        "width_px": image.width(),
        "height_px": image.height(),
        "pages": pages,
        "mm_per_px": mm_per_px,
    }


def _flat(image: QImage) -> QImage:
    """Return a picture on white, as grey where it has no colour."""
    if image.hasAlphaChannel():
        ground = QImage(image.size(), QImage.Format.Format_RGB32)
        ground.fill(Qt.GlobalColor.white)
        painter = QPainter(ground)
        painter.drawImage(0, 0, image)
        painter.end()
        image = ground
    grey = image.format() == QImage.Format.Format_Grayscale8
    if not grey and image.width() * image.height() < 20_000_000:
        grey = image.allGray()
    form = QImage.Format.Format_Grayscale8 if grey else QImage.Format.Format_RGB32
    return image.convertToFormat(form)


def _encode(image: QImage) -> tuple[str, bytes, QImage]:
    kept = kept_size(image.size())
    if kept != image.size():
        image = _scaled(image, kept)
    data = _bytes(image, "PNG", -1)
    if len(data) <= PNG_BYTES:
        return "image/png", data, image
    data = _bytes(image, "JPEG", JPEG_QUALITY)
    while len(data) > KEPT_BYTES:
        image = _scaled(image, image.size() * 0.7)
        data = _bytes(image, "JPEG", JPEG_QUALITY)
    return "image/jpeg", data, image


def _scaled(image: QImage, size: QSize) -> QImage:
    return image.scaled(
        size,
        Qt.AspectRatioMode.IgnoreAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )


def _bytes(image: QImage, form: str, quality: int) -> bytes:
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, QByteArray(form.encode()))
    writer.setQuality(quality)
    if not writer.write(image):
        raise RefusedError(
            "The picture could not be made ready.", "It may be too large."
        )
    return bytes(data.data())


def main(arguments: list[str]) -> int:
    """Do what the command line says; return the exit code."""
    hold_down()
    source, target = Path(arguments[0]), Path(arguments[1])
    page = int(arguments[2]) if len(arguments) > 2 else 0
    _app = QGuiApplication(["rasterworker"])  # letters in drawings need one
    try:
        told = convert(source, target, page)
    except RefusedError as error:
        told = {"error": str(error)}
    except MemoryError:
        told = {"error": f"{source.name} needs more memory than it may have."}
    sys.stdout.write(json.dumps(told))
    return 2 if "error" in told else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
