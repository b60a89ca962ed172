"""How good something is: a shape, a word and a colour, always together."""

from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.panels.bits import Mark, label
from app.session.looks import Looks
from core.analysis.study import Verdict
from core.checks.finding import Severity

DROP_WORDS: dict[Verdict, str] = {
    "good": "Good",
    "tolerable": "Tolerable",
    "poor": "Too little",
    "dead": "Dead",
}
SHORT_WORDS: dict[Verdict, str] = {
    "good": "Trips surely",
    "tolerable": "Trips, barely",
    "poor": "May not trip",
    "dead": "Dead",
}
HELD_WORDS: dict[Verdict, str] = {
    "good": "A lamp holds it",
    "tolerable": "Trips all the same",
    "poor": "May not trip",
    "dead": "Dead",
}
SEVERITY_WORDS: dict[Severity, str] = {
    Severity.HAZARD: "Hazard",
    Severity.FAULT: "Fault",
    Severity.ADVICE: "Advice",
}
SEVERITY_ROLES: dict[Severity, str] = {
    Severity.HAZARD: "hazard",
    Severity.FAULT: "poor",
    Severity.ADVICE: "accent",
}


def show_margin(margin: float) -> str:
    """Return a short current over what trips the device: "1.8 × trip"."""
    return f"{margin:.1f} × trip"


def show_margins(margin: float, low: float, high: float) -> str:
    """Return a margin with its band: "1.8 × trip (1.6 to 2.1)"."""
    return f"{show_margin(margin)} ({low:.1f} to {high:.1f})"


class Coloured(QLabel):
    """A word in a colour of the theme."""

    def __init__(self, looks: Looks, word: str, role: str) -> None:
        super().__init__(word)
        self._looks, self._role = looks, role
        looks.changed.connect(self._tint)
        self._tint()

    def _tint(self) -> None:
        self.setStyleSheet(f"color: {self._looks.colour(self._role)};")


class Tag(QWidget):
    """A shape with a word beside it."""

    def __init__(self, looks: Looks, size: int = 16) -> None:
        super().__init__()
        self._looks = looks
        self._role = "ink"
        box = QHBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        self._mark = Mark(looks, size)
        self.word = label("", "heading", wraps=False)
        box.addWidget(self._mark)
        box.addWidget(self.word)
        looks.changed.connect(self._tint)

    def show_tag(self, icon: str, word: str, role: str) -> None:
        """Show a shape and a word in a colour of the theme."""
        self._role = role
        self._mark.show_mark(icon, role)
        self.word.setText(word)
        self._tint()

    def show_verdict(self, verdict: Verdict, words: dict[Verdict, str]) -> None:
        """Show how good something is."""
        self.show_tag(verdict, words[verdict], verdict)

    def _tint(self) -> None:
        self.word.setStyleSheet(f"color: {self._looks.colour(self._role)};")
