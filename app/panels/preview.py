"""The pages of the sheet on screen, as they will be printed."""

from pathlib import Path

from PySide6.QtCore import QRectF, QSize, Qt, QTemporaryDir, QTimer
from PySide6.QtGui import (
    QColor,
    QImage,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QFrame,
    QScrollArea,
    QSizePolicy,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from app.panels.bits import empty, label
from app.panels.printing import Done, Press, Wishes, WriteSheet
from app.session.looks import Looks
from app.session.session import Session

STILL_MS = 400
"""How long the layout must be still before the pages are made again. [ms]"""

MOST_WIDTH = 860
"""No page is shown wider than this. [px]"""

FINER = 1.3
"""A page is drawn by so much finer than the screen, and then smoothed. [1]"""

WAITING = "The pages are being made."


class Leaf(QWidget):
    """One page, as wide as there is room for."""

    def __init__(self, image: QImage, looks: Looks, number: int) -> None:
        super().__init__()
        self._image, self._looks = image, looks
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"Page {number}")

    def fit(self, width: int) -> None:
        """Take a width, and the height that goes with it. [px]"""
        ratio = self._image.height() / max(self._image.width(), 1)
        self.setFixedSize(QSize(width, round(width * ratio)))

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the page with a thin edge."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(QRectF(self.rect()), self._image)
        painter.setPen(QColor(self._looks.theme.panel_edge))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class Preview(QWidget):
    """All pages below each other; made anew while it is shown."""

    def __init__(
        self, session: Session, looks: Looks, write: WriteSheet, wishes: Wishes
    ) -> None:
        super().__init__()
        self._session, self._looks = session, looks
        self._folder = QTemporaryDir()
        self._press = Press(write, wishes, self)
        self._press.finished.connect(self._on_finished)
        self._timer = QTimer(self, singleShot=True, interval=STILL_MS)
        self._timer.timeout.connect(self._make)
        self._leaves: list[Leaf] = []
        self._fresh = False
        self._words = label(WAITING, "faint")
        self._words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setAccessibleName("Pages of the sheet")
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._column.setSpacing(18)
        self._column.setContentsMargins(18, 18, 18, 18)
        self._area.setWidget(inside)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self._words)
        self._stack.addWidget(self._area)
        session.layout_changed.connect(lambda _: self._spoil())
        session.layout_replaced.connect(self._on_replaced)
        session.study_ready.connect(lambda _: self._soon())
        wishes.changed.connect(self._on_wishes)

    @property
    def page_count(self) -> int:
        """How many pages are shown."""
        return len(self._leaves)

    def close_press(self) -> None:
        """Stop all work in the background."""
        self._timer.stop()
        self._press.close()

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        """Make the pages if they are not fresh."""
        super().showEvent(event)
        self._soon()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the pages take the new width."""
        super().resizeEvent(event)
        self._fit()

    # Helpers

    def _spoil(self) -> None:
        self._fresh = False
        self._press.stop()

    def _on_replaced(self) -> None:
        self._spoil()
        self._show_pages(())

    def _on_wishes(self) -> None:
        self._spoil()
        self._soon()

    def _soon(self) -> None:
        if self.isVisible() and not self._fresh:
            self._timer.start()

    def _make(self) -> None:
        result = self._session.result
        if result is None or result.stale or not self.isVisible():
            return  # the fresh study will ask again
        path = Path(self._folder.filePath("preview.pdf"))
        self._fresh = True
        page_px = round(MOST_WIDTH * self.devicePixelRatioF() * FINER)
        self._press.start(result, path, page_px=page_px)

    def _on_finished(self, done: Done) -> None:
        if done.trouble:
            self._words.setText(done.trouble)
        elif not done.stopped:
            self._show_pages(done.pages)

    def _show_pages(self, pages: tuple[QImage, ...]) -> None:
        at = self._area.verticalScrollBar().value()
        empty(self._column)
        self._leaves = [
            Leaf(image, self._looks, i) for i, image in enumerate(pages, start=1)
        ]
        for leaf in self._leaves:
            self._column.addWidget(leaf)
        self._fit()
        self._words.setText(WAITING)
        self._stack.setCurrentIndex(1 if pages else 0)
        QTimer.singleShot(0, lambda: self._area.verticalScrollBar().setValue(at))

    def _fit(self) -> None:
        width = min(self.width() - 56, MOST_WIDTH)
        for leaf in self._leaves:
            leaf.fit(max(width, 200))
