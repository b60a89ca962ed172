"""A bar of a round length, as long on screen as it is in plan."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.session.looks import Looks
from app.session.session import Session
from core.units.length import show_length
from core.units.si import Metre

MOST_PX = 110
"""The bar is never longer than this. [px]"""

METRIC_MM = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000)
INCH_MM = 25.4
IMPERIAL_MM = tuple(
    INCH_MM * n for n in (0.125, 0.25, 0.5, 1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
)


class ScaleBar(QWidget):
    """Follows the zoom of the plan."""

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__()
        self._session, self._looks = session, looks
        self._px_per_mm = 1.0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setToolTip("Length on the plan")
        session.layout_changed.connect(lambda _: self.update())
        session.layout_replaced.connect(self.update)
        looks.changed.connect(self.update)

    def show_zoom(self, px_per_mm: float) -> None:
        """Show how much plan a length on screen covers. [px/mm]"""
        if px_per_mm != self._px_per_mm:
            self._px_per_mm = px_per_mm
            self.update()

    @property
    def length_mm(self) -> float:
        """The round length that is shown. [mm]"""
        feet = self._session.layout.settings.lengths == "ft"
        steps = IMPERIAL_MM if feet else METRIC_MM
        fitting = [s for s in steps if s * self._px_per_mm <= MOST_PX]
        return float(fitting[-1] if fitting else steps[0])

    def sizeHint(self) -> QSize:
        """Return room for the longest bar."""
        return QSize(MOST_PX + 16, 34)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the bar, half of it filled, and its length."""
        theme = self._looks.theme
        painter = QPainter(self)
        long_px = min(self.length_mm * self._px_per_mm, float(MOST_PX))
        left, y = self.width() - long_px - 8, 24.0
        painter.setPen(QPen(QColor(theme.ink), 1.4))
        painter.drawLine(QPointF(left, y), QPointF(left + long_px, y))
        for x in (left, left + long_px / 2, left + long_px):
            painter.drawLine(QPointF(x, y - 4), QPointF(x, y + 4))
        painter.fillRect(QRectF(left, y - 2, long_px / 2, 4), QColor(theme.ink))
        system = self._session.layout.settings.lengths
        words = show_length(Metre(self.length_mm / 1000.0), system)
        right = Qt.AlignmentFlag.AlignRight
        painter.drawText(QRectF(0, 2, self.width() - 8, 16), right, words)
        painter.end()
