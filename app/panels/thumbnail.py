"""A small picture of a layout, for the start page."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QPolygonF

from app.session.theme import Theme
from core.layout.geometry import bus_path, run_path
from core.layout.layout import Layout
from core.layout.parts import Board, Booster, Bus, TrackRun

MARGIN = 12
STEP_MM = 40.0


def draw_thumbnail(
    layout: Layout, theme: Theme, width: int, height: int, scale: float
) -> QPixmap:
    """Return a picture of boards, buses, track and boosters. [px]"""
    pixmap = QPixmap(round(width * scale), round(height * scale))
    pixmap.setDevicePixelRatio(scale)
    pixmap.fill(QColor(theme.paper))
    lines = {r.id: run_path(r).line(step_mm=STEP_MM) for r in layout.of_kind(TrackRun)}
    if not lines:
        return pixmap
    low = [min(float(p[:, k].min()) for p in lines.values()) for k in (0, 1)]
    high = [max(float(p[:, k].max()) for p in lines.values()) for k in (0, 1)]
    room = QRectF(0, 0, width, height).adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
    factor = min(
        room.width() / max(high[0] - low[0], 1.0),
        room.height() / max(high[1] - low[1], 1.0),
    )
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(room.center())
    painter.scale(factor, -factor)
    painter.translate(-(low[0] + high[0]) / 2, -(low[1] + high[1]) / 2)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.bench))
    for board in layout.of_kind(Board):
        painter.drawRect(QRectF(board.x_mm, board.y_mm, board.width_mm, board.depth_mm))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for bus in layout.of_kind(Bus):
        _line(painter, bus_path(bus).line(step_mm=1e6).tolist(), theme.conductor_a, 1.0)
    for points in lines.values():
        _line(painter, points.tolist(), theme.ink, 2.0)
    painter.setBrush(QColor(theme.device))
    for booster in layout.of_kind(Booster):
        painter.drawEllipse(QPointF(booster.x_mm, booster.y_mm), 3 / factor, 3 / factor)
    painter.end()
    return pixmap


def _line(
    painter: QPainter, points: list[list[float]], colour: str, width: float
) -> None:
    pen = QPen(QColor(colour), width)
    pen.setCosmetic(True)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in points]))
