"""A small picture of a layout, for the start page."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QPolygonF

from app.session.theme import Theme
from core.layout.geometry import Floats, bus_path, run_path
from core.layout.layout import Layout
from core.layout.parts import Board, Booster, Bus, TrackRun

MARGIN = 12
STEP_MM = 40.0


def draw_thumbnail(layout: Layout, theme: Theme, size: QSize, scale: float) -> QPixmap:
    """Return a picture of boards, buses, track and boosters. [px]"""
    width, height = size.width(), size.height()
    pixmap = QPixmap(round(width * scale), round(height * scale))
    pixmap.setDevicePixelRatio(scale)
    pixmap.fill(QColor(theme.paper))
    lines = [run_path(r).line(step_mm=STEP_MM) for r in layout.of_kind(TrackRun)]
    boards = [
        QRectF(b.x_mm, b.y_mm, b.width_mm, b.depth_mm) for b in layout.of_kind(Board)
    ]
    whole = _whole(lines, boards)
    if whole.isEmpty():
        return pixmap
    room = QRectF(0, 0, width, height).adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    factor = min(
        room.width() / whole.width(),
        room.height() / whole.height(),
    )
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(room.center())
    painter.scale(factor, -factor)
    painter.translate(-whole.center())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.bench))
    for board in layout.of_kind(Board):
        painter.drawRect(QRectF(board.x_mm, board.y_mm, board.width_mm, board.depth_mm))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for bus in layout.of_kind(Bus):
        _line(painter, bus_path(bus).line(step_mm=1e6).tolist(), theme.conductor_a, 1.0)
    for points in lines:
        _line(painter, points.tolist(), theme.ink, 2.0)
    painter.setBrush(QColor(theme.device))
    for booster in layout.of_kind(Booster):
        painter.drawEllipse(QPointF(booster.x_mm, booster.y_mm), 3 / factor, 3 / factor)
    painter.end()
    return pixmap


def _whole(lines: list[Floats], boards: list[QRectF]) -> QRectF:
    """Return the box round everything. [mm]"""
    whole = QRectF()
    for board in boards:
        whole = whole.united(board)
    for points in lines:
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        whole = whole.united(QRectF(x0, y0, max(x1 - x0, 1.0), max(y1 - y0, 1.0)))
    return whole


def _line(
    painter: QPainter, points: list[list[float]], colour: str, width: float
) -> None:
    pen = QPen(QColor(colour), width)
    pen.setCosmetic(True)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in points]))
