"""Ways to feed a bus: tried in the background, drawn with one press."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.answers.shapes import NO_BUS, ShapesCard
from app.panels.answers.trying import MOVED_ON, STOPPED
from app.panels.stages.power import PowerPanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.parts import Bus
from core.proposals.shapes import RING_NOTE
from tests.app.panels.conftest import Seen
from tests.core.analysis.layouts import small_line

PB1 = PartId("PB1")


@pytest.fixture
def card(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> Iterator[ShapesCard]:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(small_line(), None)
    panel = PowerPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    panel.shapes.head.click()
    yield panel.shapes
    panel.close_work()


@pytest.fixture
def tried(qtbot: QtBot, card: ShapesCard) -> ShapesCard:
    with qtbot.waitSignal(card.inquiry.answered, timeout=20_000):
        QTest.mouseClick(card.start, Qt.MouseButton.LeftButton)
    return card


def test_every_way_has_its_row_and_a_ring_its_warning(tried: ShapesCard) -> None:
    names = [use.accessibleName() for use in tried.table.buttons]
    assert len(names) == 5
    assert names[0].startswith("Use The bus as it is drawn")
    assert not tried.table.buttons[0].isEnabled()
    assert RING_NOTE in tried.words.text()
    assert tried.stop.isHidden()


def test_one_press_draws_it_and_one_undo_takes_it_back(
    session: Session, tried: ShapesCard
) -> None:
    before = dict(session.layout.parts)
    QTest.mouseClick(tried.table.buttons[-1], Qt.MouseButton.LeftButton)
    assert session.undo_stack.count() == 1
    assert len(list(session.layout.of_kind(Bus))) == 6  # three legs, three feeders
    assert tried.words.text() == MOVED_ON
    assert tried.table.buttons == []
    session.undo_stack.undo()
    assert dict(session.layout.parts) == before


def test_any_change_makes_them_old(session: Session, tried: ShapesCard) -> None:
    session.commit(set_fields(session.layout, frozenset({PB1}), volts_v=16.0))
    assert tried.words.text() == MOVED_ON
    assert tried.table.buttons == []


def test_it_can_be_stopped(card: ShapesCard) -> None:
    card.start.click()
    card.stop.click()
    assert card.words.text() == STOPPED
    assert card.start.isEnabled()


def test_without_such_a_bus_it_says_what_to_draw(
    session: Session, card: ShapesCard
) -> None:
    session.new_layout()
    card.refresh()
    assert card.words.text() == NO_BUS
    assert not card.start.isEnabled()
