"""The stages along the top, like stops on a line, and what is open in this one."""

import itertools
from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
)

from app.panels.bits import button, empty, label, row
from app.session.looks import Looks
from app.session.session import Session
from app.session.stages import STAGES, Open, Stage, open_items

DISC = 22
"""Size of a stop. [px]"""

MOST_LINKS = 3
"""How many open things are named; the rest are counted."""


SOON_MS = 40
"""How long after a change it is counted again, so that the hand comes first. [ms]"""


class StageButton(QAbstractButton):
    """One stop: its number, its name, and how many things are open there."""

    def __init__(self, stage: Stage, number: int, looks: Looks) -> None:
        super().__init__()
        self._stage, self._number, self._looks = stage, number, looks
        self._open = 0
        self.setCheckable(True)
        self.setText(stage.title)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        looks.changed.connect(self.update)
        self.show_open(())

    @property
    def open_count(self) -> int:
        """How many things are open in this stage."""
        return self._open

    def show_open(self, items: Sequence[Open]) -> None:
        """Show how many things are still open."""
        self._open = sum(item.count for item in items)
        what = "; ".join(item.sentence for item in items) or "nothing open"
        self.setAccessibleName(f"{self._stage.title}, {what}")
        self.setToolTip(f"{self._stage.does}\nCtrl+{self._number}. Open: {what}.")
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for disc, name and count."""
        bold = QFont(self.font())
        bold.setBold(True)
        words = self.fontMetrics().horizontalAdvance(self.text()) * 1.15
        return QSize(round(DISC + words + 22 + (18 if self._open else 0)), 38)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the stop."""
        theme, here = self._looks.theme, self.isChecked()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        disc = QRectF(6, (self.height() - DISC) / 2, DISC, DISC)
        lit = here or self.underMouse()
        painter.setPen(QPen(QColor(theme.accent if lit else theme.faint), 1.6))
        painter.setBrush(QColor(theme.accent if here else theme.field))
        painter.drawEllipse(disc)
        font = painter.font()
        font.setBold(here)
        painter.setFont(font)
        painter.setPen(QColor(theme.on_accent if here else theme.ink))
        painter.drawText(disc, Qt.AlignmentFlag.AlignCenter, str(self._number))
        painter.setPen(QColor(theme.accent if lit else theme.ink))
        words = QRectF(disc.right() + 7, 0, self.width(), self.height())
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.text())
        if self._open:
            used = painter.fontMetrics().horizontalAdvance(self.text())
            self._paint_count(painter, words.left() + used + 5)
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.accent), 1, Qt.PenStyle.DotLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 3, -2, -3), 5, 5)
        painter.end()

    def _paint_count(self, painter: QPainter, left: float) -> None:
        theme = self._looks.theme
        pill = QRectF(left, self.height() / 2 - 13, 16, 15)
        font = painter.font()
        font.setPointSizeF(font.pointSizeF() * 0.8)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(QPen(QColor(theme.tolerable), 1.2))
        painter.setBrush(QColor(theme.panel))
        painter.drawRoundedRect(pill, 7, 7)
        count = str(self._open) if self._open < 10 else "9+"
        painter.drawText(pill, Qt.AlignmentFlag.AlignCenter, count)


class StageBar(QFrame):
    """All stages, and a line about the one that is chosen."""

    chosen = Signal(str)

    def __init__(
        self, session: Session, looks: Looks, show_open: Callable[[Open], None]
    ) -> None:
        super().__init__()
        self._session, self._looks, self._show_open = session, looks, show_open
        self._stage = STAGES[0]
        self._named: tuple[Open, ...] = ()
        self.setProperty("kind", "bar")
        self.setAccessibleName("Stages of the job")
        self._buttons: dict[str, StageButton] = {}
        self._group = QButtonGroup(self)
        self._line = QHBoxLayout()
        self._line.setContentsMargins(6, 0, 6, 0)
        self._line.setSpacing(26)
        for number, stage in enumerate(STAGES, start=1):
            made = StageButton(stage, number, looks)
            made.clicked.connect(lambda _=False, s=stage.id: self.chosen.emit(s))
            self._group.addButton(made)
            self._buttons[stage.id] = made
            self._line.addWidget(made)
        self._line.addStretch(1)
        self._does = label("", "faint", wraps=False)
        self._links = QHBoxLayout()
        self._links.setSpacing(2)
        below = row(self._does, None)
        below.addLayout(self._links)
        below.setContentsMargins(14, 0, 12, 4)
        self._does.setMinimumHeight(26)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 4, 0, 0)
        box.setSpacing(0)
        box.addLayout(self._line)
        box.addLayout(below)
        self._soon = QTimer(self, singleShot=True, interval=SOON_MS)
        self._soon.timeout.connect(self.refresh)
        session.layout_changed.connect(lambda _: self._soon.start())
        session.layout_replaced.connect(self._soon.start)
        session.study_ready.connect(lambda _: self._soon.start())
        looks.changed.connect(self.update)
        self.show_stage(self._stage.id)

    def button(self, stage_id: str) -> StageButton:
        """Return the button of a stage."""
        return self._buttons[stage_id]

    def show_stage(self, stage_id: str) -> None:
        """Show which stage is chosen."""
        self._stage = next(s for s in STAGES if s.id == stage_id)
        self._buttons[stage_id].setChecked(True)
        self._does.setText(self._stage.does)
        self.refresh()

    def refresh(self) -> None:
        """Count again what is open."""
        self._soon.stop()
        layout, result = self._session.layout, self._session.result
        for stage in STAGES:
            items = open_items(stage, layout, result)
            self._buttons[stage.id].show_open(items)
            if stage is self._stage:
                self._show_links(items)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line that the stops lie on."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(QPen(QColor(self._looks.theme.panel_edge), 2))
        made = list(self._buttons.values())
        for here, there in itertools.pairwise(made):
            y = here.geometry().center().y() + 1
            left = QPointF(here.geometry().right() + 3, y)
            painter.drawLine(left, QPointF(there.geometry().left() + 2, y))
        painter.end()

    def _show_links(self, items: Sequence[Open]) -> None:
        if tuple(items) == self._named:
            return
        self._named = tuple(items)
        empty(self._links)
        for item in items[:MOST_LINKS]:
            self._links.addWidget(self._link(item))
        if len(items) > MOST_LINKS:
            self._links.addWidget(label(f"and {len(items) - MOST_LINKS} more", "faint"))

    def _link(self, item: Open) -> QPushButton:
        made = button(item.sentence, lambda: self._show_open(item), "link")
        made.setIcon(self._looks.icon("tolerable", "tolerable"))
        made.setEnabled(bool(item.parts))
        return made
