"""The weakest shorts: told in words, weakest first, and gone to."""

import re

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.lists import EntryButton
from app.panels.stages.prove import ProvePanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.change import Change
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop
from tests.app.board import BOOSTER, board
from tests.app.panels.conftest import Seen
from tests.app.test_commands_answers import half_shorted
from tests.samples.wulfenmoor import wulfenmoor_end_fed


def panel(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> ProvePanel:
    made = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(made)
    made.show()
    return made


def test_it_is_folded_up_until_its_heading_is_pressed(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = panel(qtbot, session, looks, seen).weakest
    shown = [card.list.isVisible()]
    QTest.mouseClick(card.head, Qt.MouseButton.LeftButton)
    shown.append(card.list.isVisible())
    assert shown == [False, True]


def test_the_weakest_comes_first_and_the_probe_goes_there(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = panel(qtbot, session, looks, seen).weakest
    card.head.click()
    row = card.list.findChild(EntryButton)
    assert row is not None
    QTest.mouseClick(row, Qt.MouseButton.LeftButton)
    # The board is alike to both sides of its middle; drops stand at 0.5 and 2.5 m,
    # so the ends, half a metre from a drop that alone feeds them, are weakest.
    assert session.probe_place is not None
    assert session.probe_place.position_m in (0.0, 3.0)
    assert seen.places == [session.probe_place]


def test_each_says_how_sure_its_margin_is(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = panel(qtbot, session, looks, seen).weakest
    card.head.click()
    for entry in card.list.entries:
        low, high = re.findall(r"([0-9.]+) to ([0-9.]+) × as rail", entry.more)[0]
        assert float(low) <= float(entry.figure.split()[0]) <= float(high)
        assert low != high


def test_a_change_of_the_trip_shows_in_the_list(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = panel(qtbot, session, looks, seen).weakest
    card.head.click()
    before = card.list.entries[0].figure
    with qtbot.waitSignal(session.study_ready):
        ids = frozenset({BOOSTER})
        session.commit(set_fields(session.layout, ids, trip_a=30.0))
    # Ten times the trip current is a tenth of the margin.
    factor = float(before.split()[0]) / float(card.list.entries[0].figure.split()[0])
    assert 9.0 < factor < 11.0


def test_where_inductance_limits_the_margin_by_resistance_stands_beside_it(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    # needs.md 3.6: of 17.8 A by resistance alone 3.7 A are left; 2.2 times 8 A.
    card = panel(qtbot, session, looks, seen).weakest
    card.head.click()
    assert not any("resistance" in entry.more for entry in card.list.entries)
    loose = Layout({part.id: part for part in wulfenmoor_end_fed()})
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(loose, None)
    first = card.list.entries[0]
    assert float(first.figure.split()[0]) < 0.5
    assert "by resistance alone 2.1" in first.more


def test_what_a_short_does_not_touch_is_told_and_what_is_left_out_too(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    # PB1's main line is shorted; PB2 feeds the branch by D3, by a drawing of its own.
    made = panel(qtbot, session, looks, seen)
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(half_shorted(), None)
    made.refresh()
    made.weakest.head.click()
    with qtbot.waitSignal(made.openings.inquiry.answered):
        made.openings.head.click()
    assert {e.parts for e in made.weakest.list.entries} == {(PartId("R2"),)}
    assert [e.parts for e in made.openings.list.entries] == [(PartId("D3"),)]
    for card in (made.weakest, made.openings):
        assert card.note.isVisible()
        assert card.note.text() == "PB1 is shorted: its track is left out."
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(board(), None)
    assert not made.weakest.note.isVisible()
    made.close_work()


def test_a_short_is_to_be_cured_first(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = panel(qtbot, session, looks, seen).weakest
    card.head.click()
    with qtbot.waitSignal(session.study_ready):
        d1 = session.layout.need(PartId("D1"), Drop)
        crossed = {d1.id: replace(d1, a_rail="right")}
        session.commit(Change("Cross it", {d1.id: d1}, crossed))
    assert card.list.entries == ()
    assert card.words.text().startswith("PB1 is shorted")
