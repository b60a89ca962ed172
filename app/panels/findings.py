"""The findings, worst first: what is wrong, the sum behind it, what to do."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.bits import SPACE, Card, IconButton, button, column, empty, label, row
from app.panels.verdicts import SEVERITY_ROLES, SEVERITY_WORDS, Tag
from app.session.looks import Looks
from app.session.session import Session
from core.checks.finding import Finding

FIRST = 40
"""How many findings are shown before "Show the rest" is pressed."""

NONE_YET = "The figures are being worked out."
NONE = "Nothing to find fault with."
NO_TRACK = "Draw some track and feed it; what is wrong with it will stand here."


class FindingCard(Card):
    """One finding."""

    def __init__(
        self,
        finding: Finding,
        looks: Looks,
        *,
        go_to: Callable[[Finding], None],
        fix: Callable[[Finding], None],
    ) -> None:
        super().__init__()
        self.finding = finding
        self.heading.hide()
        tag = Tag(looks)
        word = SEVERITY_WORDS[finding.severity]
        tag.show_tag(finding.severity, word, SEVERITY_ROLES[finding.severity])
        self.show_sum = IconButton(looks, "more", "Show the sum", self._on_show_sum)
        self.show_sum.setCheckable(True)
        self.box.addLayout(row(tag, None, label(finding.code, "faint"), self.show_sum))
        self.box.addWidget(label(finding.title, "heading"))
        self.box.addWidget(label(finding.sentence))
        self.sum = label(_sum_text(finding), "faint")
        self.sum.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.sum.hide()
        self.box.addWidget(self.sum)
        self.box.addWidget(label(finding.remedy))
        self.go_to = button("Go to", partial(go_to, finding))
        self.go_to.setEnabled(bool(finding.parts or finding.place))
        self.fix = button("Apply fix", partial(fix, finding))
        self.fix.setVisible(finding.fix is not None)
        self.fix.setToolTip(finding.fix.label if finding.fix else "")
        self.box.addLayout(row(self.go_to, self.fix, None))
        self.setAccessibleName(f"{word}: {finding.title}")
        self.setAccessibleDescription(f"{finding.sentence} {finding.remedy}")

    def _on_show_sum(self) -> None:
        self.sum.setVisible(not self.sum.isVisible())


class Findings(QWidget):
    """All findings of the last study."""

    went_to = Signal(object)

    def __init__(
        self, session: Session, looks: Looks, go_to: Callable[[Finding], None]
    ) -> None:
        super().__init__()
        self._session, self._looks, self._go_to = session, looks, go_to
        self._shown: tuple[Finding, ...] | None = None
        self._all = False
        self._at = -1
        box = column(self, margin=0)
        self.words = label(NONE_YET, "faint")
        box.addWidget(self.words)
        self._cards = QVBoxLayout()
        self._cards.setSpacing(SPACE)
        box.addLayout(self._cards)
        self._rest = button("", self._on_rest, "link")
        box.addWidget(self._rest)
        session.study_ready.connect(lambda _: self.refresh())
        session.layout_replaced.connect(self._on_replaced)
        self.refresh()

    @property
    def cards(self) -> list[FindingCard]:
        """The cards, worst first."""
        items = [self._cards.itemAt(i) for i in range(self._cards.count())]
        found = [item.widget() for item in items if item is not None]
        return [card for card in found if isinstance(card, FindingCard)]

    def refresh(self) -> None:
        """Show the findings of the last study."""
        result = self._session.result
        findings = result.findings if result is not None else None
        self.words.setText(self._word_for(findings))
        self.words.setVisible(not findings)
        if findings != self._shown:
            self._shown = findings
            self._rebuild()

    def step(self) -> None:
        """Go to the next finding."""
        if self._shown:
            self._at = (self._at + 1) % len(self._shown)
            self._go(self._shown[self._at])

    def _rebuild(self) -> None:
        empty(self._cards)
        findings = self._shown or ()
        most = len(findings) if self._all else FIRST
        for finding in findings[:most]:
            card = FindingCard(finding, self._looks, go_to=self._go, fix=self._fix)
            self._cards.addWidget(card)
        left = len(findings) - most
        self._rest.setVisible(left > 0)
        self._rest.setText(f"Show {left} more")

    def _word_for(self, findings: tuple[Finding, ...] | None) -> str:
        if findings is None:
            return NONE_YET
        result = self._session.result
        fed = result is not None and result.study.worst_volts is not None
        return NONE if fed else NO_TRACK

    def _go(self, finding: Finding) -> None:
        self._at = (self._shown or (finding,)).index(finding)
        self._go_to(finding)
        self.went_to.emit(finding)

    def _fix(self, finding: Finding) -> None:
        result = self._session.result
        if finding.fix is None or result is None or result.stale:
            self._session.notice.emit("The plan has moved on; wait for fresh findings.")
            return
        self._session.commit(finding.fix)

    def _on_rest(self) -> None:
        self._all = True
        self._rebuild()

    def _on_replaced(self) -> None:
        self._all, self._at = False, -1
        self.refresh()


def _sum_text(finding: Finding) -> str:
    source = f"\nWhere the limit comes from: {finding.source}" if finding.source else ""
    return finding.figures + source
