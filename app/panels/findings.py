"""The findings, worst first: what is wrong, the sum behind it, what to do."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.panels.bits import SPACE, button, column, label
from app.panels.finding_card import CardHands, FindingCard, subject_of
from app.panels.staying import area_of, keep_at, top_in
from app.session.looks import Looks
from app.session.session import Session
from core.checks.finding import Finding

FIRST = 40
"""How many findings are shown before "Show the rest" is pressed."""

NONE_YET = "The figures are being worked out."
NONE = "Nothing to find fault with."
NO_TRACK = "Draw some track and feed it; what is wrong with it will stand here."


@dataclass(frozen=True, slots=True)
class _Held:
    """The card that has the keyboard, its place in the list and on the screen."""

    card: FindingCard
    at: int
    top: int


@dataclass(frozen=True, slots=True)
class _Deal:
    """Which card shows which finding.

    Attributes
    ----------
    cards : dict of int to FindingCard
        Those that show the same thing as before, by their places in the list.
    left : list of FindingCard
        The others, to show something else or to go.
    kept_back : list of FindingCard
        One that has the keyboard and goes, if any.
    missing : list of Finding
        For these there is no card yet.
    """

    cards: dict[int, FindingCard]
    left: list[FindingCard]
    kept_back: list[FindingCard]
    missing: list[Finding]


class Findings(QWidget):
    """All findings of the last study.

    A card takes a while to make, so new ones are made ahead, one a turn, and the
    list is another one only when all of them are there.

    Signals
    -------
    went_to(Finding)
        One was gone to.
    left()
        Escape was pressed: what is drawn for one is to go.
    counted(int)
        So many findings there are now.
    """

    went_to = Signal(object)
    left = Signal()
    counted = Signal(int)

    def __init__(
        self, session: Session, looks: Looks, go_to: Callable[[Finding], None]
    ) -> None:
        super().__init__()
        self._session, self._looks, self._go_to = session, looks, go_to
        self._shown: tuple[Finding, ...] | None = None
        self._all = False
        self._at = -1
        self._spare: list[FindingCard] = []
        self._missing: list[Finding] = []
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self._on_turn)
        box = column(self, margin=0)
        self.words = label(NONE_YET, "faint")
        box.addWidget(self.words)
        self._cards = QVBoxLayout()
        self._cards.setSpacing(SPACE)
        box.addLayout(self._cards)
        self._rest = button("", self._on_rest, "link")
        box.addWidget(self._rest)
        session.study_ready.connect(lambda _: self._begin())
        session.layout_replaced.connect(self._on_replaced)
        session.case_changed.connect(self._show_thrown)
        self.refresh()

    @property
    def cards(self) -> list[FindingCard]:
        """The cards, worst first."""
        items = [self._cards.itemAt(i) for i in range(self._cards.count())]
        found = [item.widget() for item in items if item is not None]
        return [card for card in found if isinstance(card, FindingCard)]

    @property
    def is_settled(self) -> bool:
        """Whether the list is that of the last study."""
        return not self._turn.isActive()

    def refresh(self) -> None:
        """Show the findings of the last study, at once."""
        self._turn.stop()
        self._spare += [self._make_card(f) for f in self._deal().missing]
        self._show()

    def _begin(self) -> None:
        """Begin to make what cards the findings of the last study want."""
        self._missing = self._deal().missing
        self._turn.start()

    def _on_turn(self) -> None:
        if self._missing:
            card = self._make_card(self._missing.pop(0))
            card.make_ready()
            self._spare.append(card)
            self._turn.start()
        else:
            self.refresh()

    def _findings(self) -> tuple[Finding, ...] | None:
        result = self._session.result
        return result.findings if result is not None else None

    def _wanted(self) -> tuple[Finding, ...]:
        """Return the findings of the last study that are to have a card."""
        findings = self._findings() or ()
        return findings if self._all else findings[:FIRST]

    def _make_card(self, finding: Finding) -> FindingCard:
        hands = CardHands(self._go, self._fix, self._throw)
        card = FindingCard(finding, self._looks, hands)
        card.setParent(self)  # it is shown once it stands in the list
        return card

    def _show(self) -> None:
        findings = self._findings()
        self.words.setText(self._word_for(findings))
        self.words.setVisible(not findings)
        if findings != self._shown or self._spare:
            self._shown = findings
            self._rebuild()
        self.counted.emit(len(findings or ()))

    def step(self) -> None:
        """Go to the next finding."""
        if not self.is_settled:
            self.refresh()
        if self._shown:
            self._at = (self._at + 1) % len(self._shown)
            self._go(self._shown[self._at])

    def _rebuild(self) -> None:
        held, deal = self._held(), self._deal()
        assert not deal.missing, "cards were made for all of them"
        wanted = self._wanted()
        for at, finding in enumerate(wanted):
            card = deal.cards[at] if at in deal.cards else deal.left.pop()
            card.show_finding(finding)
            self._put(at, card)
        going = [*deal.left, *deal.kept_back]
        self._stay(held, going)
        for old in going:
            self._cards.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._spare.clear()
        left = len(self._shown or ()) - len(wanted)
        self._rest.setVisible(left > 0)
        self._rest.setText(f"Show {left} more")
        self._show_thrown()

    def _deal(self) -> "_Deal":
        """Say which card is to show which finding of the last study."""
        wanted, held = self._wanted(), self._held()
        cards: dict[int, FindingCard] = {}
        shown, spare = self.cards, list(self._spare)
        for hand, is_same in (
            (shown, _is_equal),
            (shown, _is_of_the_same),
            (spare, _is_equal),
        ):
            for at, finding in enumerate(wanted):
                if at not in cards:
                    card = next((c for c in hand if is_same(c.finding, finding)), None)
                    if card is not None:
                        hand.remove(card)
                        cards[at] = card
        # One that has the keyboard shows nothing else in its place.
        kept_back = [held.card] if held is not None and held.card in shown else []
        left = [*spare, *(c for c in shown if c not in kept_back)]
        homeless = [f for at, f in enumerate(wanted) if at not in cards]
        return _Deal(cards, left, kept_back, homeless[len(left) :])

    def _put(self, at: int, card: FindingCard) -> None:
        """Put a card at its place in the list, if it is not there."""
        item = self._cards.itemAt(at)
        if item is None or item.widget() is not card:
            self._cards.insertWidget(at, card)
        card.show()

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
        if finding.fix is None or result is None or not self._is_fresh(finding):
            self._session.notice.emit("The plan has moved on; wait for fresh findings.")
            return
        self._session.commit(finding.fix)

    def _is_fresh(self, finding: Finding) -> bool:
        """Return whether a finding is one of the layout as it is now."""
        result = self._session.result
        if result is None or result.stale:
            return False
        return finding in result.findings

    def _on_rest(self) -> None:
        self._all = True
        self._shown = None
        self._begin()

    def _on_replaced(self) -> None:
        self._all, self._at = False, -1
        self.refresh()


def _is_equal(one: Finding, other: Finding) -> bool:
    return one == other


def _is_of_the_same(one: Finding, other: Finding) -> bool:
    return subject_of(one) == subject_of(other)
