"""Bare pieces of rail: counted, and filled in one step."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.answers.filling import NONE_BARE, FillCard
from app.panels.stages.drops import DropsPanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop
from tests.app.board import board
from tests.app.panels.conftest import Seen
from tests.core.analysis.layouts import small_line

Open = Callable[[Layout], FillCard]


@pytest.fixture
def opened(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> Iterator[Open]:
    panels: list[DropsPanel] = []

    def made(layout: Layout) -> FillCard:
        with qtbot.waitSignal(session.study_ready):
            session.replace_layout(layout, None)
        panels.append(DropsPanel(session, looks, seen.hands))
        qtbot.addWidget(panels[-1])
        panels[-1].show()
        card = panels[-1].filling
        with qtbot.waitSignal(card.inquiry.answered):
            card.head.click()
        return card

    yield made
    for panel in panels:
        panel.close_work()


def test_it_says_what_it_would_do(opened: Open) -> None:
    # 4.0 m in pieces of 0.914 m with drops at 0.5, 2.0 and 3.5 m: the second piece
    # and the stub at the end have none.
    card = opened(small_line())
    assert card.words.text().startswith("2 pieces of Main have no drop of their own.")
    assert card.add.text() == "Add 2 drops"


def test_one_press_is_one_step_that_undo_takes_back(
    qtbot: QtBot, session: Session, opened: Open
) -> None:
    card = opened(small_line())
    with qtbot.waitSignal(card.inquiry.answered):
        QTest.mouseClick(card.add, Qt.MouseButton.LeftButton)
    drops = [drop.id for drop in session.layout.of_kind(Drop)]
    assert (drops, session.undo_stack.count()) == (["D1", "D2", "D3", "D4", "D5"], 1)
    assert card.words.text() == NONE_BARE
    assert card.add.isHidden()
    session.undo_stack.undo()
    assert sum(1 for _ in session.layout.of_kind(Drop)) == 3


def test_it_waits_for_the_plan_as_it_now_is(
    qtbot: QtBot, session: Session, opened: Open
) -> None:
    card = opened(small_line())
    with qtbot.waitSignal(card.inquiry.answered):
        session.commit(set_fields(session.layout, frozenset({PartId("B1")}), slack=0.1))
        waits = not card.add.isEnabled()
    assert (waits, card.add.isEnabled()) == (True, True)


def test_without_a_bus_nothing_is_offered(opened: Open) -> None:
    # The board's drops go straight to its booster: one piece of four is bare.
    card = opened(board())
    assert "no bus and no free way" in card.words.text()
    assert card.add.isHidden()
