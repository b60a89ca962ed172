"""The switch for what colours the track."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from app.session.views import View

CHOICES: tuple[tuple[View | None, str, str], ...] = (
    ("volts", "Volts", "Volts under the test train"),
    ("loop", "Loop", "Resistance out and back"),
    ("short", "Short", "True short current over what trips the breaker"),
    ("short_dc", "Short, R", "The same by resistance alone, without inductance"),
    ("poles", "Poles", "Which rail is which: A, B, not fed, or shorted"),
    ("districts", "Feeds", "What feeds each stretch of track"),
    (None, "Plain", "Track without colours"),
)
"""What can colour the track, its word, and what it means."""


class ColourSwitch(QWidget):
    """A button for each view, one of them down."""

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Colour of the track")
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(1)
        self._group = QButtonGroup(self)
        for i, (_, word, tip) in enumerate(CHOICES):
            made = QToolButton()
            made.setText(word)
            made.setToolTip(tip)
            made.setCheckable(True)
            made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._group.addButton(made, i)
            box.addWidget(made)
        self._group.idClicked.connect(lambda i: self.chosen.emit(CHOICES[i][0]))

    def show_choice(self, view: View | None) -> None:
        """Show which one is chosen."""
        for i, (choice, _, _) in enumerate(CHOICES):
            if choice == view:
                self._group.button(i).setChecked(True)
