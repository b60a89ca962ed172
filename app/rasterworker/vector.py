"""Pictures made of lines: PDF pages, SVG and DXF drawings, drawn on white."""

import re
from itertools import islice
from pathlib import Path

from PySide6.QtCore import QByteArray, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPen, QPolygonF
from PySide6.QtSvg import QSvgRenderer

from app.rasterworker.limits import DRAWN_SIDE, KEPT_PIXELS, MOST_ENTITIES, RefusedError

PDF_DPI = 200
"""Sharp enough for a drawing, small enough for a file. [dots/inch]"""

DXF_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 10: 914.4, 14: 100.0}
"""Millimetres in a drawing unit, by $INSUNITS (DXF reference)."""

LINE_PX = 2.0


def read_pdf(path: Path, page: int) -> tuple[QImage, int]:
    """Return a page of a PDF, and how many pages there are."""
    import pypdfium2  # noqa: PLC0415  wanted for this kind only

    try:
        document = pypdfium2.PdfDocument(str(path))
        count = len(document)
        leaf = document[min(max(page, 0), count - 1)]
        width, height = leaf.get_size()
        scale = min(PDF_DPI / 72, DRAWN_SIDE / max(width, height, 1.0))
        scale = min(scale, (KEPT_PIXELS / max(width * height, 1.0)) ** 0.5)
        bitmap = leaf.render(scale=scale)
    except pypdfium2.PdfiumError as error:
        raise RefusedError(
            f"{path.name} cannot be opened as a PDF: {error}",
            "A locked or damaged PDF can often be printed to a new one.",
        ) from error
    image = QImage(
        bytes(bitmap.buffer),
        bitmap.width,
        bitmap.height,
        bitmap.stride,
        QImage.Format.Format_BGR888,
    )
    return image.copy(), count


def read_svg(path: Path) -> QImage:
    """Return an SVG drawing; one that reaches outside itself is refused."""
    data = path.read_bytes()
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        data = re.sub(rb"<!DOCTYPE[^\[>]*>", b"", data)
        if b"<!ENTITY" in data or b"<!DOCTYPE" in data:
            raise RefusedError(f"{path.name} defines entities; that is not read.")
    for link in re.findall(rb"href\s*=\s*[\"']([^\"']*)", data):
        if not link.startswith((b"#", b"data:")):
            where = link[:60].decode(errors="replace")
            raise RefusedError(
                f"{path.name} points to another file ({where}).",
                "Embed its pictures and save it again.",
            )
    drawing = QSvgRenderer(QByteArray(data))
    size = drawing.defaultSize()
    if not drawing.isValid() or size.isEmpty():
        raise RefusedError(f"{path.name} is no drawing that can be read.")
    size.scale(QSize(DRAWN_SIDE, DRAWN_SIDE), Qt.AspectRatioMode.KeepAspectRatio)
    image = _white(max(size.width(), 1), max(size.height(), 1))
    painter = QPainter(image)
    drawing.render(painter, QRectF(0, 0, image.width(), image.height()))
    painter.end()
    return image


def read_dxf(path: Path) -> tuple[QImage, float | None]:
    """Return a DXF drawing, and its millimetres a pixel where it says its unit."""
    lines, unit = _dxf_lines(path)
    xs = [x for line in lines for x, _ in line]
    ys = [y for line in lines for _, y in line]
    width, height = max(xs) - min(xs), max(ys) - min(ys)
    extent = max(width, height)
    if extent <= 0.0:
        raise RefusedError(f"{path.name} holds nothing that can be drawn.")
    scale = (DRAWN_SIDE - 2 * LINE_PX) / extent
    image = _white(
        max(int(width * scale + 2 * LINE_PX), 1),
        max(int(height * scale + 2 * LINE_PX), 1),
    )
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(Qt.GlobalColor.black, LINE_PX))
    left, top = min(xs), max(ys)
    for line in lines:
        points = [
            QPointF((x - left) * scale + LINE_PX, (top - y) * scale + LINE_PX)
            for x, y in line
        ]
        painter.drawPolyline(QPolygonF(points))
    painter.end()
    return image, None if unit is None else unit / scale


def _dxf_lines(path: Path) -> tuple[list[list[tuple[float, float]]], float | None]:
    try:
        from ezdxf.disassemble import recursive_decompose  # noqa: PLC0415
        from ezdxf.filemanagement import readfile  # noqa: PLC0415  slow to load
        from ezdxf.path import make_path  # noqa: PLC0415
    except ImportError as error:
        raise RefusedError(
            "DXF drawings need a piece that is not installed.",
            "Print the drawing to PDF and take that.",
        ) from error
    try:
        document = readfile(path)
        entities = recursive_decompose(document.modelspace())
        lines = []
        for entity in islice(entities, MOST_ENTITIES):
            try:
                points = [(p.x, p.y) for p in make_path(entity).flattening(0.5)]
            except TypeError:
                continue  # words and the like have no path
            if len(points) > 1:
                lines.append(points)
    # The reader raises most kinds of error on damaged files, StopIteration too.
    except Exception as error:
        raise RefusedError(f"{path.name} is a damaged DXF file.") from error
    if not lines:
        raise RefusedError(f"{path.name} holds no lines.")
    return lines, DXF_MM.get(int(document.units))


def _white(width: int, height: int) -> QImage:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    return image
