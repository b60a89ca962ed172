"""The widgets that one field is typed, picked or ticked in."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QStandardItemModel,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QWidget,
)

from app.panels.bits import Tick, restyle
from app.panels.fields.field import Choice

MIXED = object()
"""Stands for values that differ between the selected parts."""

DIFFERS = "differs"
"""What a field says where they do."""


class LineEditor(QLineEdit):
    """One line of text; tells of it on Enter, Tab or when it loses the focus.

    Signals
    -------
    edited(object)
        The text, or None where it was taken back.
    left()
        Escape was pressed, or Enter on a text that can be: it is done with.
    """

    edited = Signal(object)
    left = Signal()

    def __init__(self, blank: str) -> None:
        super().__init__()
        self._blank = blank
        self._shown = ""
        self.editingFinished.connect(self._on_finished)

    def show_value(self, text: Any) -> None:
        """Show a text, unless the person is typing another one."""
        shown = "" if text is MIXED else str(text)
        self.setPlaceholderText(DIFFERS if text is MIXED else self._blank)
        typing = self.hasFocus() and self.text() != self._shown
        if shown != self._shown or not typing:
            self._shown = shown
            self.setText(shown)
            self.setCursorPosition(0)

    def show_wrong(self, wrong: bool) -> None:  # noqa: FBT001
        """Mark the text as one that cannot be."""
        restyle(self, "wrong", "true" if wrong else "false")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up what was typed on Escape; leave on Escape and Enter."""
        if event.key() == Qt.Key.Key_Escape:
            if self.text() != self._shown:
                self.setText(self._shown)
                self.edited.emit(None)
            self.left.emit()
            return
        super().keyPressEvent(event)
        entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if entered and self.property("wrong") != "true":
            self.left.emit()

    def _on_finished(self) -> None:
        if self.text() != self._shown:
            self.edited.emit(self.text())


class MemoEditor(QPlainTextEdit):
    """Some lines of text; tells of it when it loses the focus.

    Signals
    -------
    edited(object)
        The text.
    left()
        Escape was pressed: what was typed is taken back.
    """

    edited = Signal(object)
    left = Signal()

    def __init__(self, lines: int) -> None:
        super().__init__()
        self._shown = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(lines * self.fontMetrics().lineSpacing() + 16)

    def show_value(self, text: Any) -> None:
        """Show a text."""
        shown = "" if text is MIXED else str(text)
        if shown != self._shown or not self.hasFocus():
            self._shown = shown
            self.setPlainText(shown)

    def show_wrong(self, wrong: bool) -> None:  # noqa: FBT001
        """Mark the text as one that cannot be."""
        restyle(self, "wrong", "true" if wrong else "false")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up what was typed on Escape, and leave."""
        if event.key() == Qt.Key.Key_Escape:
            if self.toPlainText() != self._shown:
                self.setPlainText(self._shown)
            self.left.emit()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell of the text."""
        super().focusOutEvent(event)
        if self.toPlainText() != self._shown:
            self.edited.emit(self.toPlainText())


class PickEditor(QComboBox):
    """A list to pick from, under headings."""

    edited = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._choices: tuple[Choice, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.setMaxVisibleItems(18)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.activated.connect(self._on_activated)

    def show_choices(self, choices: Sequence[Choice]) -> None:
        """Offer these entries."""
        if tuple(choices) == self._choices:
            return
        self._choices = tuple(choices)
        self.clear()
        group = ""
        for choice in choices:
            if choice.group and choice.group != group:
                group = choice.group
                self._add_heading(group)
            self.addItem(choice.word, choice)
            if choice.tip:
                self.setItemData(
                    self.count() - 1, choice.tip, Qt.ItemDataRole.ToolTipRole
                )
        width = self.view().sizeHintForColumn(0) + 28
        self.view().setMinimumWidth(min(width, 420))

    def show_value(self, value: Any) -> None:
        """Show the entry that stands for a value."""
        index = -1
        for i in range(self.count()):
            choice = self.itemData(i)
            if isinstance(choice, Choice) and choice.value == value:
                index = i
                break
        self.setPlaceholderText(DIFFERS if value is MIXED else str(value))
        self.setCurrentIndex(index)
        tip = self.itemData(index, Qt.ItemDataRole.ToolTipRole) if index >= 0 else ""
        self.setToolTip(str(tip or ""))

    def show_wrong(self, wrong: bool) -> None:  # noqa: FBT001
        """Do nothing: an entry is never wrong by itself."""

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw it like the other fields, with a mark that it opens."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self.palette()
        edge = palette.highlight() if self.hasFocus() else palette.mid()
        painter.setPen(QPen(edge.color(), 1))
        painter.setBrush(palette.base())
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(box, 4, 4)
        words = box.adjusted(8, 0, -22, 0)
        blank = self.currentIndex() < 0
        painter.setPen((palette.placeholderText() if blank else palette.text()).color())
        text = painter.fontMetrics().elidedText(
            self.placeholderText() if blank else self.currentText(),
            Qt.TextElideMode.ElideRight,
            round(words.width()),
        )
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, text)
        x, y = box.right() - 13, box.center().y()
        painter.setPen(QPen(palette.text().color(), 1.5))
        painter.drawPolyline(
            [QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)]
        )
        painter.end()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the panel, so that scrolling changes nothing."""
        event.ignore()

    def _add_heading(self, text: str) -> None:
        self.addItem(text)
        model = self.model()
        assert isinstance(model, QStandardItemModel)
        item = model.item(self.count() - 1)
        item.setEnabled(False)
        font = item.font()
        font.setBold(True)
        item.setFont(font)

    def _on_activated(self, index: int) -> None:
        choice = self.itemData(index)
        if isinstance(choice, Choice):
            self.edited.emit(choice.value)


class TickEditor(Tick):
    """A yes or no."""

    edited = Signal(object)

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.clicked.connect(self._on_clicked)

    def show_value(self, value: Any) -> None:
        """Show yes, no or both."""
        self.setTristate(value is MIXED)
        if value is MIXED:
            self.setCheckState(Qt.CheckState.PartiallyChecked)
        else:
            self.setChecked(bool(value))

    def show_wrong(self, wrong: bool) -> None:  # noqa: FBT001
        """Do nothing: a tick is never wrong by itself."""

    def _on_clicked(self) -> None:
        self.setTristate(False)
        self.edited.emit(self.isChecked())


Editor = LineEditor | MemoEditor | PickEditor | TickEditor


def name_for_readers(editor: QWidget, name: str, tip: str) -> None:
    """Tell a screen reader what a field is."""
    editor.setAccessibleName(name)
    editor.setAccessibleDescription(tip)
    if tip:
        editor.setToolTip(tip)
