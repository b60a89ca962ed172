"""The line at the bottom: what can be done now, where the pointer is, the study."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QSizePolicy

from app.panels.bits import Mark, button, label, row
from app.session.looks import Looks
from app.session.session import Session
from core.checks.words import list_names
from core.units.length import show_length
from core.units.si import Metre

MOST_THROWN = 4
"""Thrown turnouts that are named. [1]"""

POINTER_WIDTH = 210
"""Room for the pointer's place, so that nothing moves while it does. [px]"""


HINT_LINES = 2
"""Lines kept for the hint, so that nothing moves when one needs both. [1]"""


class StatusLine(QFrame):
    """Hint, measure, pointer position and state of the figures."""

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__()
        self._session = session
        self.setProperty("kind", "strip")
        self.hint = label("")
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.hint.ensurePolished()
        self.hint.setFixedHeight(HINT_LINES * self.hint.fontMetrics().lineSpacing())
        self.measure = label("", "", wraps=False)
        self.typed = label("", "heading", wraps=False)
        self.thrown = label("", "heading", wraps=False)
        self.straight = button(
            "All straight",
            session.set_straight,
            "link",
            "Set every turnout straight, shut gates",
        )
        self.pointer = label("", "faint", wraps=False)
        self.pointer.setMinimumWidth(POINTER_WIDTH)
        self.pointer.setAlignment(
            Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        )
        self._mark = Mark(looks, 15)
        self.study = label("", "faint", wraps=False)
        box = row(
            *(self.hint, self.measure, self.typed, self.thrown, self.straight),
            *(self.pointer, self._mark, self.study),
            spacing=12,
        )
        box.setStretch(0, 1)
        box.setContentsMargins(12, 4, 12, 4)
        self.setLayout(box)
        session.case_changed.connect(self._show_thrown)
        session.study_started.connect(self._on_started)
        session.study_ready.connect(lambda _: self._on_ready())
        session.study_refused.connect(self._on_refused)
        self._on_started()
        self._show_thrown()

    def show_hint(self, text: str) -> None:
        """Say what can be done now."""
        self.hint.setText(text)
        self.hint.setToolTip(text)

    def show_measure(self, text: str) -> None:
        """Show lengths of what is being drawn."""
        self.measure.setText(text)

    def show_typing(self, text: str) -> None:
        """Show what is being typed."""
        self.typed.setText(f"Typed: {text}" if text else "")

    def show_pointer(self, x_mm: float, y_mm: float) -> None:
        """Show where the pointer is, in the person's units."""
        system = self._session.layout.settings.lengths
        x, y = (show_length(Metre(v / 1000.0), system) for v in (x_mm, y_mm))
        self.pointer.setText(f"{x} from left, {y} from front")

    def _show_thrown(self) -> None:
        thrown, opened = self._session.thrown, self._session.opened
        told = [
            f"{word}: {list_names(names, most=MOST_THROWN)}"
            for word, names in (("Thrown", thrown), ("Open", opened))
            if names
        ]
        self.thrown.setText(" · ".join(told))
        for widget in (self.thrown, self.straight):
            widget.setVisible(bool(told))

    def _on_started(self) -> None:
        self._mark.show_mark("probe", "faint")
        self.study.setText("Working out the figures")

    def _on_ready(self) -> None:
        self._mark.show_mark("good", "good")
        self.study.setText("Figures up to date")
        self.study.setToolTip("")

    def _on_refused(self, sentence: str) -> None:
        self._mark.show_mark("poor", "poor")
        self.study.setText("Figures cannot be worked out")
        self.study.setToolTip(sentence)
