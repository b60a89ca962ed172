"""The list of findings: cards made one a turn, and never half of a list."""

from collections.abc import Sequence
from dataclasses import replace as altered

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, QPoint
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.bits import Panel
from app.panels.finding_card import FindingCard
from app.panels.findings import FIRST, Findings
from app.session.looks import Looks
from app.session.session import Session
from core.checks.finding import Finding, Severity
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import Drop

D1 = PartId("D1")


def finding(code: str, part: str, figures: str = "1 > 0") -> Finding:
    return Finding(
        code,
        Severity.FAULT,
        f"Title of {code}",
        f"{part} is wrong by {figures}.",
        figures,
        f"Mend {part}.",
        (PartId(part),),
    )


@pytest.fixture
def shown(qtbot: QtBot, session: Session, looks: Looks) -> tuple[Panel, Findings]:
    panel = Panel("Findings")
    qtbot.addWidget(panel)
    findings = Findings(session, looks, lambda _: None)
    panel.add(findings)
    panel.close_up()
    panel.resize(320, 420)
    with qtbot.waitExposed(panel):
        panel.show()
    return panel, findings


def tell(session: Session, told: Sequence[Finding]) -> None:
    """Tell the session's listeners of other findings of the same study."""
    assert session.result is not None
    session.result = altered(session.result, findings=tuple(told))
    session.study_ready.emit(session.result)


def told_by(findings: Findings) -> list[Finding]:
    return [card.finding for card in findings.cards]


def settle(qtbot: QtBot, findings: Findings) -> None:
    qtbot.waitUntil(lambda: findings.is_settled)
    qtbot.wait(20)


def test_cards_stand_in_the_order_of_the_findings(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    _, findings = shown
    first = [finding("W101", f"R{i}") for i in range(5)]
    tell(session, first)
    settle(qtbot, findings)
    assert told_by(findings) == first
    other = [first[3], finding("W203", "B1"), first[0], first[4]]
    tell(session, other)
    settle(qtbot, findings)
    assert told_by(findings) == other
    tops = [card.mapTo(findings, QPoint(0, 0)).y() for card in findings.cards]
    assert tops == sorted(tops)
    assert len(set(tops)) == 4


def test_no_half_of_a_list_is_ever_there(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    _, findings = shown
    before = [finding("W101", f"R{i}") for i in range(3)]
    tell(session, before)
    settle(qtbot, findings)
    after = [finding("W203", f"B{i}") for i in range(9)]
    tell(session, after)
    turns = 0
    while not findings.is_settled:
        assert told_by(findings) == before
        assert sum(card.isVisible() for card in _all_cards(findings)) == 3
        QCoreApplication.processEvents()
        turns += 1
    assert told_by(findings) == after
    # Three cards show other findings, six are made: one a turn.
    assert turns >= 6
    qtbot.wait(20)
    assert sum(card.isVisible() for card in _all_cards(findings)) == 9


def test_newer_findings_put_those_aside_that_were_still_coming(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    _, findings = shown
    tell(session, [finding("W101", f"R{i}") for i in range(9)])
    QCoreApplication.processEvents()
    assert not findings.is_settled
    last = [finding("W203", f"B{i}") for i in range(4)]
    tell(session, last)
    settle(qtbot, findings)
    assert told_by(findings) == last
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert len(_all_cards(findings)) == 4


def test_a_card_whose_figures_change_stays_with_keyboard_sum_and_place(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    panel, findings = shown
    first = [finding("W101", f"R{i}") for i in range(9)]
    tell(session, first)
    settle(qtbot, findings)
    card = findings.cards[5]
    card.show_sum.click()
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    card.go_to.setFocus()
    panel.ensureWidgetVisible(card.go_to)
    qtbot.wait(20)
    top = card.mapTo(panel.viewport(), QPoint(0, 0)).y()
    other = [finding("W101", "R5", "2 > 0") if f == first[5] else f for f in first]
    tell(session, [finding("W000", "R99"), *other])
    settle(qtbot, findings)
    assert findings.cards[6] is card
    assert card.sum.text() == "2 > 0"
    assert card.sum.isVisible()
    assert QApplication.focusWidget() is card.go_to
    assert abs(card.mapTo(panel.viewport(), QPoint(0, 0)).y() - top) <= 2


def test_a_card_that_is_given_something_else_has_its_sum_shut(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    panel, findings = shown
    tell(session, [finding("W101", "R1")])
    settle(qtbot, findings)
    (card,) = findings.cards
    card.show_sum.click()
    panel.setFocus()  # a card that has the keyboard shows nothing else
    tell(session, [finding("W203", "B1")])
    settle(qtbot, findings)
    assert findings.cards == [card]
    assert card.accessibleName() == "Fault: Title of W203"
    assert (card.sum.isVisible(), card.show_sum.isChecked()) == (False, False)


def test_the_rest_is_made_a_card_a_turn_when_asked_for(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    _, findings = shown
    many = [finding("W101", f"R{i}") for i in range(FIRST + 3)]
    tell(session, many)
    settle(qtbot, findings)
    assert told_by(findings) == many[:FIRST]
    assert findings._rest.text() == "Show 3 more"
    findings._rest.click()
    settle(qtbot, findings)
    assert told_by(findings) == many
    assert findings._rest.isHidden()


def test_a_fix_of_the_list_before_is_not_applied(
    qtbot: QtBot, session: Session, shown: tuple[Panel, Findings]
) -> None:
    _, findings = shown
    d1 = session.layout.need(D1, Drop)
    fix = Change("Turn it", {D1: d1}, {D1: replace(d1, a_rail="right")})
    fixable = altered(finding("W103", "D1"), fix=fix)
    tell(session, [fixable])
    settle(qtbot, findings)
    tell(session, [finding("W101", f"R{i}") for i in range(4)])
    steps = session.undo_stack.count()
    with qtbot.waitSignal(session.notice):
        findings.cards[0].fix.click()
    assert session.undo_stack.count() == steps
    settle(qtbot, findings)


def _all_cards(findings: Findings) -> list[FindingCard]:
    return findings.findChildren(FindingCard)
