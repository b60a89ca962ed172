"""Wire sizes: tried in the background, told in words, used with one press."""

from collections.abc import Callable, Iterator
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.answers import sizes
from app.panels.answers.sizes import SizesCard, sentence_on
from app.panels.answers.trying import MOVED_ON, STOPPED
from app.panels.stages.power import PowerPanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.parts import Bus
from core.materials.wires import wire
from core.proposals.wires import Trial, sizes_to_try
from tests.app.panels.conftest import Seen
from tests.core.analysis.layouts import small_line

B1, PB1 = PartId("B1"), PartId("PB1")

Make = Callable[[], SizesCard]


@pytest.fixture
def make(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> Iterator[Make]:
    panels: list[PowerPanel] = []

    def made() -> SizesCard:
        with qtbot.waitSignal(session.study_ready):
            session.replace_layout(small_line(), None)
        panels.append(PowerPanel(session, looks, seen.hands))
        qtbot.addWidget(panels[-1])
        panels[-1].show()
        panels[-1].sizes.head.click()
        return panels[-1].sizes

    yield made
    for panel in panels:
        panel.close_work()


@pytest.fixture
def tried(qtbot: QtBot, make: Make) -> SizesCard:
    card = make()
    with qtbot.waitSignal(card.inquiry.answered):
        QTest.mouseClick(card.start, Qt.MouseButton.LeftButton)
    return card


def trial(size: str, margin: float, *, good: bool = False) -> Trial:
    verdict = "good" if good else "poor"
    return Trial(
        volts_v=13.0,
        drop_share=0.1,
        margin=margin,
        drop_verdict=verdict,  # type: ignore[arg-type]
        short_verdict=verdict,  # type: ignore[arg-type]
        wire=wire(size),
        metres=84.0,
        is_present=False,
    )


def test_every_size_has_its_row(session: Session, tried: SizesCard) -> None:
    assert len(tried.table.buttons) == len(sizes_to_try(session.layout))
    assert tried.start.isEnabled()
    assert tried.stop.isHidden()


def test_using_a_size_is_one_step_that_undo_takes_back(
    session: Session, tried: SizesCard
) -> None:
    before = session.layout.need(B1, Bus).wire
    thickest = sizes_to_try(session.layout)[-1].id
    QTest.mouseClick(tried.table.buttons[-1], Qt.MouseButton.LeftButton)
    used = session.layout.need(B1, Bus).wire
    assert (used, session.undo_stack.count()) == (thickest, 1)
    assert tried.table.buttons[-1].text() == "in use"
    session.undo_stack.undo()
    assert session.layout.need(B1, Bus).wire == before
    assert tried.table.buttons[-1].text() == "Use"


def test_using_a_size_leaves_the_figures_fresh(
    session: Session, tried: SizesCard
) -> None:
    said = tried.words.text()
    tried.table.buttons[0].click()
    assert tried.words.text() == said


def test_any_other_change_makes_them_old(session: Session, tried: SizesCard) -> None:
    session.commit(set_fields(session.layout, frozenset({PB1}), volts_v=16.0))
    assert tried.words.text() == MOVED_ON


def test_another_layout_forgets_what_was_tried(
    session: Session, tried: SizesCard
) -> None:
    session.new_layout()
    assert tried.table.buttons == []


def test_the_pair_can_be_tried_and_used_twisted(
    qtbot: QtBot, session: Session, make: Make
) -> None:
    card = make()
    hidden = card.twist.isHidden()  # the bus is twisted as it is drawn
    session.commit(set_fields(session.layout, frozenset({B1}), lay="apart"))
    qtbot.waitUntil(lambda: not session.is_studying)
    assert (hidden, card.twist.isHidden()) == (True, False)
    card.twist.setChecked(True)
    with qtbot.waitSignal(card.inquiry.answered):
        card.start.click()
    card.table.buttons[0].click()
    assert session.layout.need(B1, Bus).lay == "twisted"


def test_it_can_be_stopped_and_the_window_goes_on_meanwhile(
    qtbot: QtBot, make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    card, go = make(), Event()

    def slow(*_: object) -> None:
        assert go.wait(5)

    monkeypatch.setattr(sizes, "try_all", slow)
    card.start.click()
    shown = card.stop.isVisible(), card.bar.isVisible(), card.start.isEnabled()
    card.stop.click()
    go.set()
    assert shown == (True, True, False)
    assert card.words.text() == STOPPED
    assert card.start.isEnabled()


def test_without_a_bus_there_is_nothing_to_try(
    session: Session, looks: Looks, seen: Seen, qtbot: QtBot
) -> None:
    panel = PowerPanel(session, looks, seen.hands)  # the board has drops, no bus
    qtbot.addWidget(panel)
    panel.show()
    panel.sizes.head.click()
    assert panel.sizes.words.text() == sizes.NO_BUS
    assert not panel.sizes.start.isEnabled()


def test_the_thinnest_good_size_is_named() -> None:
    tried = [trial("1mm2-c5", 1.0), trial("1.5mm2-c5", 2.5, good=True)]
    said = "1.5 mm² is the thinnest that is good both ways."
    assert sentence_on(tried, twisted=True) == said


def test_twisting_is_told_only_where_it_is_not_done() -> None:
    # 1.1 times the short current from the thinnest to the thickest: hardly more.
    tried = [trial("1mm2-c5", 1.0), trial("6mm2-c5", 1.1)]
    assert "twist the pair" in sentence_on(tried, twisted=False)
    assert "twist" not in sentence_on(tried, twisted=True)


def test_where_thickness_helps_but_not_enough_it_is_not_blamed() -> None:
    tried = [trial("1mm2-c5", 0.5), trial("6mm2-c5", 1.4)]
    assert "hardly" not in sentence_on(tried, twisted=False)
