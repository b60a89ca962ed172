"""The one place where the program speaks to the person and asks."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMessageBox, QWidget

from app.panels.bits import IconButton, Mark, button, label
from app.session.looks import Looks

STAYS_MS = 9_000
"""How long a piece of news stays; trouble stays until it is closed. [ms]"""


class Notices(QFrame):
    """A slim bar: one sentence, maybe something to press.

    It lies over the line at the bottom of its parent, so that nothing moves under
    the hand when it comes and goes.
    """

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._passes = False
        self.setProperty("kind", "notice")
        self._act: Callable[[], None] = lambda: None
        self._mark = Mark(looks)
        self.words = label("")
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.action = button("", self._on_action)
        box = QHBoxLayout(self)
        box.setContentsMargins(12, 3, 8, 3)
        box.addWidget(self._mark)
        box.addWidget(self.words, 1)
        box.addWidget(self.action)
        box.addWidget(IconButton(looks, "close", "Close", self.hide))
        self._timer = QTimer(self, singleShot=True, interval=STAYS_MS)
        self._timer.timeout.connect(self.hide)
        self.hide()

    def tell(
        self, text: str, word: str = "", act: Callable[[], None] | None = None
    ) -> None:
        """Tell a piece of news; `word` is a button that does `act`."""
        self._show("advice", "accent", text, word, act)
        self._timer.start()

    def warn(
        self, text: str, word: str = "", act: Callable[[], None] | None = None
    ) -> None:
        """Tell of trouble; it stays until it is closed."""
        self._show("fault", "poor", text, word, act)
        self._timer.stop()

    def refuse(self, text: str) -> None:
        """Say why a gesture came to nothing; it stays until the next one begins."""
        self.warn(text)
        self._passes = True

    def pass_by(self) -> None:
        """Take away what was said of the gesture before."""
        if self._passes:
            self.hide()

    def lie_over(self, parent: QWidget) -> None:
        """Lie over the bottom of a widget, whatever its size."""
        self.setParent(parent)
        parent.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep to the bottom."""
        if event.type() == QEvent.Type.Resize and watched is self.parent():
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        parent = self.parentWidget()
        if parent is None:
            return
        width = parent.width()
        height = self.heightForWidth(width)  # its hint is for another width
        self.setGeometry(0, parent.height() - height, width, height)
        self.raise_()

    def _show(
        self,
        icon: str,
        role: str,
        text: str,
        word: str,
        act: Callable[[], None] | None,
    ) -> None:
        self._mark.show_mark(icon, role)
        self.words.setText(text)
        self.action.setText(word)
        self.action.setVisible(act is not None)
        self._act = act or (lambda: None)
        self._passes = False
        self.setAccessibleName(text)
        self.show()
        self._place()

    def _on_action(self) -> None:
        self.hide()
        self._act()


def ask(parent: QWidget, text: str, more: str, *answers: str) -> int | None:
    """Ask a question; return which answer was pressed, None for none (Escape).

    The first answer is the one that Enter gives.
    """
    box = QMessageBox(parent)
    box.setWindowTitle("Feederwright")
    box.setText(text)
    box.setInformativeText(more)
    role = QMessageBox.ButtonRole.ActionRole
    made = [box.addButton(answer, role) for answer in answers]
    cancel = box.addButton(QMessageBox.StandardButton.Cancel)
    cancel.setIcon(QIcon())
    box.setDefaultButton(made[0])
    box.setEscapeButton(cancel)
    box.exec()
    pressed = box.clickedButton()
    return next((i for i, b in enumerate(made) if b is pressed), None)
