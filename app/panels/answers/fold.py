"""A card that is folded up until its heading is pressed."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from app.panels.bits import Card, column, label
from app.session.looks import Looks
from app.session.session import Session


class Heading(QPushButton):
    """The heading of a folded card; the arrow tells which way it goes."""

    def __init__(self, looks: Looks, text: str) -> None:
        super().__init__(text)
        self._looks = looks
        self.setProperty("kind", "fold")
        self.setAutoDefault(False)
        self.setCheckable(True)
        self.setIconSize(QSize(18, 18))
        self.setLayoutDirection(Qt.LayoutDirection.RightToLeft)  # arrow at the right
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.toggled.connect(lambda _: self._tint())
        looks.changed.connect(self._tint)
        self._tint()

    def _tint(self) -> None:
        self.setIcon(self._looks.icon("less" if self.isChecked() else "more"))


class Fold(Card):
    """Works nothing out while it is folded up; `refresh` is called once opened."""

    def __init__(self, session: Session, looks: Looks, heading: str) -> None:
        super().__init__()
        self.session, self.looks = session, looks
        self.setAccessibleName(heading)
        self.head = Heading(looks, heading)
        self.head.toggled.connect(self._on_toggled)
        self._inside = QWidget()
        self._inside.hide()
        self.body = column(self._inside, margin=0)
        self.box.setContentsMargins(12, 6, 12, 6)
        self.box.addWidget(self.head)
        self.box.addWidget(self._inside)
        self.note = label("", "error")
        self.note.hide()
        self.body.addWidget(self.note)
        session.study_ready.connect(lambda _: self.refresh_if_open())
        session.layout_replaced.connect(self.refresh_if_open)

    @property
    def is_open(self) -> bool:
        """Whether the person has opened it."""
        return self.head.isChecked()

    def refresh(self) -> None:
        """Show the answer for the state of the session."""

    def refresh_if_open(self) -> None:
        """Show the answer where it can be seen."""
        if self.is_open and self.isVisible():
            self.refresh()

    def show_note(self, said: str) -> None:
        """Show what the answer leaves out, above it; nothing for ""."""
        self.note.setText(said)
        self.note.setVisible(bool(said))

    def close_work(self) -> None:
        """End what it does in the background."""

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while it was hidden."""
        super().showEvent(event)
        self.refresh_if_open()

    def _on_toggled(self, opened: bool) -> None:  # noqa: FBT001
        self._inside.setVisible(opened)
        self.box.setContentsMargins(12, 6, 12, 12 if opened else 6)
        self.refresh_if_open()
