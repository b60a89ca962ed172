"""The card of one finding: what is wrong, the sum behind it, what to do."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.panels.bits import Card, IconButton, button, label, row
from app.panels.verdicts import SEVERITY_ROLES, SEVERITY_WORDS, Tag
from app.session.looks import Looks
from core.checks.finding import Finding
from core.checks.words import list_names
from core.layout.ids import PartId


@dataclass(frozen=True, slots=True)
class CardHands:
    """What the buttons of a card do with its finding."""

    go_to: Callable[[Finding], None]
    fix: Callable[[Finding], None]
    throw: Callable[[Finding], None]


class FindingCard(Card):
    """One finding; another may be shown on it."""

    def __init__(self, finding: Finding, looks: Looks, hands: CardHands) -> None:
        super().__init__()
        self.finding = finding
        self.heading.hide()
        self._tag = Tag(looks)
        self._code = label("", "faint")
        self._title = label("", "heading")
        self._sentence, self._remedy = label(), label()
        self.show_sum = IconButton(looks, "more", "Show the sum", self._on_show_sum)
        self.show_sum.setCheckable(True)
        self.sum = label("", "faint")
        self.sum.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.sum.hide()
        self.go_to = button("Go to", lambda: hands.go_to(self.finding))
        self.fix = button("Apply fix", lambda: hands.fix(self.finding))
        self.throw = button("Set its turnouts", lambda: hands.throw(self.finding))
        self.box.addLayout(row(self._tag, None, self._code, self.show_sum))
        for words in (self._title, self._sentence, self.sum, self._remedy):
            self.box.addWidget(words)
        self.box.addLayout(row(self.go_to, self.fix, self.throw, None))
        self._show_words()
        self.show_thrown(frozenset())

    def show_finding(self, finding: Finding) -> None:
        """Show another finding; the sum stays open where it is of the same thing."""
        if finding == self.finding:
            return
        if subject_of(finding) != subject_of(self.finding):
            self.show_sum.setChecked(False)
            self.sum.hide()
        self.finding = finding
        self._show_words()

    def make_ready(self) -> None:
        """Take on the style of the window before it is shown: it costs time then."""
        self.ensurePolished()
        for child in self.findChildren(QWidget):
            child.ensurePolished()
        self.box.activate()

    def show_thrown(self, thrown: frozenset[PartId]) -> None:
        """Offer to set what does not lie as the finding has it."""
        trail = self.finding.trail
        needed = trail.to_throw(thrown) if trail is not None else ()
        self.throw.setVisible(bool(needed))
        self.throw.setToolTip(
            f"Throw {list_names(needed)} over, as the way on the plan has it. "
            "No step to undo: throw them back the same way."
        )

    def _show_words(self) -> None:
        finding = self.finding
        word = SEVERITY_WORDS[finding.severity]
        if self._tag.word.text() != word:
            role = SEVERITY_ROLES[finding.severity]
            self._tag.show_tag(finding.severity, word, role)
        self._code.setText(finding.code)
        self._title.setText(finding.title)
        self._sentence.setText(finding.sentence)
        self.sum.setText(_sum_text(finding))
        self._remedy.setText(finding.remedy)
        self.go_to.setEnabled(bool(finding.parts or finding.place))
        self.fix.setToolTip(finding.fix.label if finding.fix else "")
        # Only inside the card: outside it would be a window of its own.
        self.fix.setVisible(finding.fix is not None)
        self.setAccessibleName(f"{word}: {finding.title}")
        self.setAccessibleDescription(f"{finding.sentence} {finding.remedy}")

    def _on_show_sum(self) -> None:
        self.sum.setVisible(not self.sum.isVisible())


def subject_of(finding: Finding) -> tuple[str, tuple[PartId, ...]]:
    """Return what a finding is about; its figures and words may change."""
    return finding.code, finding.parts


def _sum_text(finding: Finding) -> str:
    source = f"\nWhere the limit comes from: {finding.source}" if finding.source else ""
    return finding.figures + source
