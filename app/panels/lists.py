"""Lists of parts with a figure beside each, and a bar where it has a rating."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from app.session.looks import Looks
from core.layout.ids import PartId
from core.layout.parts import OnRun


@dataclass(frozen=True, slots=True)
class Entry:
    """A row: what it is called, a figure, and how full it is.

    `more` stands below, fainter, in as many lines as it has. `share` is what it
    carries over what it may; None: no bar. `wrong` marks what still needs doing.
    """

    parts: tuple[PartId, ...]
    word: str
    figure: str = ""
    more: str = ""
    share: float | None = None
    wrong: bool = False
    place: OnRun | None = None


class EntryButton(QPushButton):
    """One row; pressing it shows the parts on the plan."""

    def __init__(self, entry: Entry, looks: Looks) -> None:
        super().__init__()
        self._entry, self._looks = entry, looks
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.show_entry(entry)

    @property
    def entry(self) -> Entry:
        """What the row shows."""
        return self._entry

    def show_entry(self, entry: Entry) -> None:
        """Show another entry."""
        self._entry = entry
        self.setAccessibleName(
            ", ".join(t for t in (entry.word, entry.figure, entry.more) if t)
        )
        self.setToolTip(f"{entry.word}\n{entry.more}".strip())
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for the words, and for the bar if there is one."""
        bar = 8 if self._entry.share is not None else 0
        return QSize(160, 24 + bar + 16 * len(self._entry.more.splitlines()))

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw words left, figure right, the bar below."""
        theme, entry = self._looks.theme, self._entry
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.underMouse() or self.hasFocus():
            painter.setPen(
                QColor(theme.accent) if self.hasFocus() else Qt.PenStyle.NoPen
            )
            painter.setBrush(QColor(theme.panel))
            painter.drawRoundedRect(
                QRectF(self.rect()).adjusted(0.5, 0.5, -1, -1), 4, 4
            )
        box = QRectF(self.rect()).adjusted(6, 2, -6, -2)
        box.setHeight(20)
        over = entry.wrong or (entry.share is not None and entry.share > 1.0)
        painter.setPen(QColor(theme.poor if over else theme.ink))
        metrics = painter.fontMetrics()
        figure = metrics.horizontalAdvance(entry.figure) + 10
        words = metrics.elidedText(
            entry.word, Qt.TextElideMode.ElideRight, round(box.width() - figure)
        )
        centre = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(box, centre | Qt.AlignmentFlag.AlignLeft, words)
        painter.drawText(box, centre | Qt.AlignmentFlag.AlignRight, entry.figure)
        painter.setPen(QColor(theme.faint))
        for i, line in enumerate(entry.more.splitlines(), start=1):
            below = box.translated(0, 1 + 16 * i)
            words = metrics.elidedText(
                line, Qt.TextElideMode.ElideRight, round(box.width())
            )
            painter.drawText(below, centre | Qt.AlignmentFlag.AlignLeft, words)
        if entry.share is not None:
            last = box.translated(0, 16 * len(entry.more.splitlines()))
            self._paint_bar(painter, entry.share, last, over=over)
        painter.end()

    def _paint_bar(
        self, painter: QPainter, share: float, box: QRectF, *, over: bool
    ) -> None:
        theme = self._looks.theme
        bar = QRectF(box.left(), box.bottom() + 2, box.width(), 5)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.panel_edge))
        painter.drawRoundedRect(bar, 2.5, 2.5)
        bar.setWidth(max(bar.width() * min(share, 1.0), 3))
        painter.setBrush(QColor(theme.poor if over else theme.device))
        painter.drawRoundedRect(bar, 2.5, 2.5)


class EntryList(QWidget):
    """Some rows below each other."""

    def __init__(self, looks: Looks, on_press: Callable[[Entry], None]) -> None:
        super().__init__()
        self._looks, self._on_press = looks, on_press
        self._entries: tuple[Entry, ...] = ()
        self._rows: list[EntryButton] = []
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(1)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The rows shown."""
        return self._entries

    def show_entries(self, entries: Sequence[Entry]) -> None:
        """Show these rows."""
        if tuple(entries) == self._entries:
            return
        self._entries = tuple(entries)
        while len(self._rows) > len(entries):
            last = self._rows.pop()
            self._box.removeWidget(last)
            last.hide()
            last.deleteLater()
        for shown, entry in zip(self._rows, entries, strict=False):
            shown.show_entry(entry)
        for entry in self._entries[len(self._rows) :]:
            self._add(entry)

    def _add(self, entry: Entry) -> None:
        made = EntryButton(entry, self._looks)
        made.clicked.connect(lambda *_: self._on_press(made.entry))
        self._rows.append(made)
        self._box.addWidget(made)
