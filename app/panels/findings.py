"""The findings, worst first: what is wrong, the sum behind it, what to do."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.panels.bits import SPACE, Card, IconButton, button, column, label, row
from app.panels.staying import area_of, keep_at, top_in
from app.panels.verdicts import SEVERITY_ROLES, SEVERITY_WORDS, Tag
from app.session.looks import Looks
from app.session.session import Session
from core.checks.finding import Finding
from core.checks.words import list_names
from core.layout.ids import PartId

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
        throw: Callable[[Finding], None],
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
        self.fix.setToolTip(finding.fix.label if finding.fix else "")
        self.throw = button("Set its turnouts", partial(throw, finding))
        self.box.addLayout(row(self.go_to, self.fix, self.throw, None))
        # Shown only now: outside the card it would be a window of its own.
        self.fix.setVisible(finding.fix is not None)
        self.show_thrown(frozenset())
        self.setAccessibleName(f"{word}: {finding.title}")
        self.setAccessibleDescription(f"{finding.sentence} {finding.remedy}")

    def show_thrown(self, thrown: frozenset[PartId]) -> None:
        """Offer to set what does not lie as the finding has it."""
        trail = self.finding.trail
        needed = trail.to_throw(thrown) if trail is not None else ()
        self.throw.setVisible(bool(needed))
        self.throw.setToolTip(
            f"Throw {list_names(needed)} over, as the way on the plan has it. "
            "No step to undo: throw them back the same way."
        )

    def _on_show_sum(self) -> None:
        self.sum.setVisible(not self.sum.isVisible())


@dataclass(frozen=True, slots=True)
class _Held:
    """The card that has the keyboard, its place in the list and on the screen."""

    card: FindingCard
    at: int
    top: int


class Findings(QWidget):
    """All findings of the last study.

    Signals
    -------
    went_to(Finding)
        One was gone to.
    left()
        Escape was pressed: what is drawn for one is to go.
    """

    went_to = Signal(object)
    left = Signal()

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
        session.case_changed.connect(self._show_thrown)
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

    def _make_card(self, finding: Finding) -> FindingCard:
        return FindingCard(
            finding, self._looks, go_to=self._go, fix=self._fix, throw=self._throw
        )

    def step(self) -> None:
        """Go to the next finding."""
        if self._shown:
            self._at = (self._at + 1) % len(self._shown)
            self._go(self._shown[self._at])

    def _rebuild(self) -> None:
        findings = self._shown or ()
        most = len(findings) if self._all else FIRST
        # A card takes a while to make: those of findings that stay, stay.
        known = self.cards
        held = self._held()
        for at, finding in enumerate(findings[:most]):
            card = next((card for card in known if card.finding == finding), None)
            if card is None:
                card = self._make_card(finding)
            else:
                known.remove(card)
            self._cards.insertWidget(at, card)
        self._stay(held, known)
        for old in known:
            self._cards.removeWidget(old)
            old.hide()
            old.deleteLater()
        left = len(findings) - most
        self._rest.setVisible(left > 0)
        self._rest.setText(f"Show {left} more")
        self._show_thrown()

    def _held(self) -> "_Held | None":
        """Return which card has the keyboard, and where it is seen."""
        area, now = area_of(self), QApplication.focusWidget()
        for at, card in enumerate(self.cards):
            if now is not None and card.isAncestorOf(now):
                top = top_in(area, card) if area is not None else 0
                return _Held(card, at, top)
        return None

    def _stay(self, held: "_Held | None", going: list[FindingCard]) -> None:
        """Give the keyboard to the next finding, and show it where the last was."""
        if held is None:
            return
        shown = [card for card in self.cards if card not in going]
        if not shown:
            self.setFocus()
            return
        card = held.card
        if card in going:
            card = shown[min(held.at, len(shown) - 1)]
            card.show()  # a hidden one cannot take it
            (card.fix if not card.fix.isHidden() else card.go_to).setFocus()
        area = area_of(self)
        if area is not None:
            keep_at(area, card, held.top)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take away what is drawn for a finding on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _show_thrown(self) -> None:
        thrown = frozenset(self._session.thrown)
        for card in self.cards:
            card.show_thrown(thrown)

    def _throw(self, finding: Finding) -> None:
        if finding.trail is not None:
            needed = finding.trail.to_throw(frozenset(self._session.thrown))
            self._session.throw(needed)
            self._go(finding)

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
