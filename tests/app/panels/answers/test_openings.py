"""If one connection opens: what dies, what sags, and what does not matter."""

from collections.abc import Callable
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.answers import openings
from app.panels.answers.list_card import Answer, ListCard
from app.panels.answers.openings import rank
from app.panels.lists import Entry
from app.panels.stages.prove import ProvePanel
from app.session.asking import Talk
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.examine import study_layout
from core.analysis.study import Study
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from tests.app.board import BOOSTER, MAIN
from tests.app.panels.conftest import Seen
from tests.app.test_commands_answers import half_shorted
from tests.core.analysis.layouts import small_line

D1, D2 = PartId("D1"), PartId("D2")


def talk() -> Talk:
    return Talk(lambda _: None)


def opened(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> ListCard:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    card = panel.openings
    with qtbot.waitSignal(card.inquiry.answered):
        QTest.mouseClick(card.head, Qt.MouseButton.LeftButton)
    return card


def test_the_only_drop_kills_all_track(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.commit(remove_parts(session.layout, frozenset({D2})))
    card = opened(qtbot, session, looks, seen)
    first = card.list.entries[0]
    assert (first.parts, first.figure, first.wrong) == ((D1,), "all dead", True)


def test_a_joint_tells_what_lies_dead_behind_it() -> None:
    # One drop at 2.0 m of 4 m; joints each 0.914 m, so the last at 3.656 m: behind
    # it lie 4.0 − 3.656 = 0.344 m that nothing else feeds.
    ranked = rank(study_layout(small_line(drops=(2.0,))), talk())
    (last,) = [e for e in ranked.entries if "3.66 m" in e.word]
    assert (last.word, last.figure) == ("Joint at Main, 3.66 m", "344 mm dead")
    assert last.more.endswith("rail open: nothing else feeds it")


def test_the_rest_is_counted() -> None:
    # Three drops, four joints. Ends beyond the outer drops (0.5 and 3.5 m of 4 m):
    # the joint at 3.656 m kills 0.344 m, none before 0.5 m. The others leave two
    # ways round, so no track dies; which of them take 0.15 V is the engine's to say.
    ranked = rank(study_layout(small_line()), talk())
    bad = len(ranked.entries)
    assert f"The other {7 - bad} do not." in ranked.sentence
    assert ranked.entries[0].figure == "344 mm dead"


def test_where_none_matters_the_lowest_volts_are_told(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    with qtbot.waitSignal(session.study_ready):
        # 3 m in one piece and next to no train: either drop will do alone.
        session.commit(
            set_fields(session.layout, frozenset({MAIN}), piece_length_m=4.0)
        )
        settings = frozenset({session.layout.settings.id})
        session.commit(set_fields(session.layout, settings, test_train_a=0.01))
    card = opened(qtbot, session, looks, seen)
    assert card.list.entries == ()
    assert card.words.text().startswith("Any one of the 2 drops and joints may open")


def test_beside_a_short_all_that_is_sound_may_be_dead() -> None:
    # D3 alone feeds the 0.9 m of the branch; the shorted main line is no track now.
    (only,) = rank(study_layout(half_shorted()), talk()).entries
    assert (only.parts, only.figure) == ((PartId("D3"),), "all dead")


def test_nothing_is_tried_while_it_is_folded_up(
    qtbot: QtBot,
    session: Session,
    looks: Looks,
    seen: Seen,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tried: list[Study] = []
    monkeypatch.setattr(openings, "rank", lambda study, _: tried.append(study))
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    with qtbot.waitSignal(session.study_ready):
        session.commit(set_fields(session.layout, frozenset({BOOSTER}), volts_v=16.0))
    assert not panel.openings.inquiry.is_busy
    assert tried == []


def test_the_newest_plan_is_answered_and_the_window_goes_on_meanwhile(
    qtbot: QtBot,
    session: Session,
    looks: Looks,
    seen: Seen,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    go = Event()
    slow = slowly(go)
    monkeypatch.setattr(openings, "rank", slow)
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    panel.openings.head.click()
    assert panel.openings.words.text() == openings.TRYING  # and we are not held up
    with qtbot.waitSignal(session.study_ready):
        session.commit(set_fields(session.layout, frozenset({BOOSTER}), volts_v=16.0))
    go.set()
    qtbot.waitUntil(lambda: not panel.openings.inquiry.is_busy)
    assert panel.openings.words.text() == "tried at 16 V"


def slowly(go: Event) -> Callable[[Study, Talk], Answer]:
    def wait(study: Study, _: Talk) -> Answer:
        assert go.wait(5)
        return Answer((), f"tried at {study.boosters[0].volts_v:.0f} V")

    return wait


def test_pressing_a_row_shows_the_part(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel._on_worst(Entry((D1,), "D1"))
    assert (seen.parts, session.probe_place) == ([(D1,)], None)
