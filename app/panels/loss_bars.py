"""Bars that show where the volts went, one for each kind of loss."""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.panels.losses import Share, Sum
from app.session.looks import Looks

ROW = 17
"""Height of a bar and its words. [px]"""

WORD_SHARE = 0.34
FIGURE_SHARE = 0.22
"""How much of the width the words and the figures take. [1]"""


class LossBars(QWidget):
    """One bar a kind of loss, longest = most; a click shows the parts."""

    chosen = Signal(object)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._looks = looks
        self._shares: tuple[Share, ...] = ()
        self._lit = -1
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        looks.changed.connect(self.update)

    def show_sum(self, shown: Sum) -> None:
        """Show the losses of a sum."""
        self._shares = tuple(s for s in shown.shares if s.cents)
        self.setAccessibleName("Where the volts went: " + shown.sentence())
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for one row a loss."""
        return QSize(200, max(len(self._shares), 1) * ROW + 2)

    # Qt overrides

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the rows."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        most = max((abs(s.cents) for s in self._shares), default=1)
        for i, share in enumerate(self._shares):
            self._paint_row(painter, i, share, most)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Light the row under the pointer."""
        self._light(int(event.position().y() // ROW))

    def leaveEvent(self, _: object) -> None:
        """Light no row."""
        self._light(-1)

    def mousePressEvent(self, _: QMouseEvent) -> None:
        """Show the parts of a row."""
        self._choose()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go up and down with the arrows, show with Enter."""
        steps = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
        if event.key() in steps and self._shares:
            self._light((self._lit + steps[Qt.Key(event.key())]) % len(self._shares))
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}:
            self._choose()
        else:
            super().keyPressEvent(event)

    # Helpers

    def _paint_row(self, painter: QPainter, i: int, share: Share, most: int) -> None:
        theme, width, top = self._looks.theme, self.width(), i * ROW
        lit = i == self._lit
        words, figures = width * WORD_SHARE, width * FIGURE_SHARE
        painter.setPen(QColor(theme.accent if lit else theme.ink))
        centre = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(
            QRectF(0, top, words, ROW), centre | Qt.AlignmentFlag.AlignLeft, share.word
        )
        painter.drawText(
            QRectF(width - figures, top, figures, ROW),
            centre | Qt.AlignmentFlag.AlignRight,
            f"{share.cents / 100:.2f} V",
        )
        room = width - words - figures - 8
        groove = QRectF(words, top + 5, room, ROW - 10)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.panel_edge))
        painter.drawRoundedRect(groove, 3, 3)
        groove.setWidth(max(room * abs(share.cents) / most, 4))
        painter.setBrush(QColor(theme.accent if lit else theme.device))
        painter.drawRoundedRect(groove, 3, 3)

    def _light(self, index: int) -> None:
        if index != self._lit:
            self._lit = index if 0 <= index < len(self._shares) else -1
            self.update()

    def _choose(self) -> None:
        if 0 <= self._lit < len(self._shares):
            self.chosen.emit(self._shares[self._lit].parts)
