"""What lies under everything: the ground, the boards and the grid."""

from typing import Literal

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QColor, QPainter

from app.canvas.look import Look, mix
from app.tools.snapping.steps import round_step_mm

MINOR_PX, MAJOR_PX = 14.0, 70.0
"""Grid lines are never closer than this. [px]"""

MINOR_SHARE = 0.5


def paint_ground(
    painter: QPainter, look: Look, exposed: QRectF, boards: list[QRectF]
) -> None:
    """Paint paper; round boards, the floor of the room."""
    theme = look.theme
    paper = QColor(theme.paper)
    painter.fillRect(exposed, QColor(theme.bench) if boards else paper)
    for board in boards:
        if board.intersects(exposed):
            painter.fillRect(board.intersected(exposed), paper)


def paint_grid(
    painter: QPainter, look: Look, exposed: QRectF, lengths: Literal["m", "ft"]
) -> None:
    """Paint the grid: two shades, its steps round lengths that suit the zoom."""
    hints = painter.renderHints()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    theme = look.theme
    minor = round_step_mm(look.mm_per_px, lengths, MINOR_PX)
    major = round_step_mm(look.mm_per_px, lengths, MAJOR_PX)
    painter.setPen(look.pen(mix(theme.grid, theme.paper, MINOR_SHARE), 1.0))
    painter.drawLines(_lines(exposed, minor))
    painter.setPen(look.pen(theme.grid, 1.0))
    painter.drawLines(_lines(exposed, major))
    painter.setRenderHints(hints)


def _lines(area: QRectF, step: float) -> list[QLineF]:
    left, right = int(area.left() // step), int(area.right() // step) + 1
    low, high = int(area.top() // step), int(area.bottom() // step) + 1
    upright = [
        QLineF(i * step, area.top(), i * step, area.bottom())
        for i in range(left, right + 1)
    ]
    level = [
        QLineF(area.left(), i * step, area.right(), i * step)
        for i in range(low, high + 1)
    ]
    return upright + level
