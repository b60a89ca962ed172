"""Probe card, findings and lists: what they show, and where they lead."""

from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.data import data_dir
from app.panels.findings import NONE, Findings
from app.panels.lists import Entry, EntryButton
from app.panels.probe_card import ProbeCard
from app.panels.stages.prove import ProvePanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.change import Change
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Load, OnRun
from core.layout.queries import run_name
from core.layout.storage.read import read_layout
from tests.app.board import BOOSTER, MAIN, SIDING, board, faulty_board
from tests.app.panels.conftest import Seen
from tests.app.yard import GAP, TURNOUT, yard

D1 = PartId("D1")


def card(qtbot: QtBot, session: Session, looks: Looks, seen: Seen) -> ProbeCard:
    made = ProbeCard(
        session, looks, show_place=seen.places.append, show_parts=seen.show_parts
    )
    qtbot.addWidget(made)
    return made


def test_the_card_shows_before_and_after(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    first = made.volts.text()
    assert made.before.isHidden()
    with qtbot.waitSignal(session.study_ready):
        ids = frozenset({BOOSTER})
        session.commit(set_fields(session.layout, ids, volts_v=16.0))
    # One volt more at the booster is one volt more everywhere.
    assert made.before.text() == f"{first} →"
    assert float(made.volts.text()[:-2]) - float(first[:-2]) == 1.0


def test_the_card_tells_what_booster_and_drops_carry(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    # Two like drops, halfway between them: half of the 1 A train each.
    assert made.devices.text() == "PB1 1.00 A of 3.00 A"
    assert made.drops.text() == "D1 0.50 A, D2 0.50 A"
    assert "D1 0.50 A of 5.00 A" in made.drops.toolTip()


def test_a_dead_rail_says_so_in_words(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(faulty_board(), None)
    session.set_probe(OnRun(run=SIDING, position_m=0.5))
    assert made.verdict.word.text() == "Dead"
    assert made.bars.isHidden()


def test_a_short_is_said_and_no_figures_that_it_spoils(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    session.set_probe(OnRun(run=MAIN, position_m=0.2))
    before = (made.shorted.isHidden(), made.bars.isHidden())
    with qtbot.waitSignal(session.study_ready):
        d1 = session.layout.need(D1, Drop)
        crossed = {D1: replace(d1, a_rail="right")}
        session.commit(Change("Cross it", {D1: d1}, crossed))
    assert before == (True, False)
    assert (made.shorted.isHidden(), made.bars.isHidden()) == (False, True)
    assert made.shorted.text().startswith("PB1 is shorted, A joined to B")


def test_the_card_tells_who_cuts_a_short_off(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    # The board's only device is its booster, which waits a tenth of a second.
    assert made.clears.text() == "PB1 in 100 ms."


def test_a_row_of_the_losses_leads_to_its_parts(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    made = card(qtbot, session, looks, seen)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    QTest.keyClick(made.bars, Qt.Key.Key_Down)
    QTest.keyClick(made.bars, Qt.Key.Key_Return)
    assert seen.parts == [(BOOSTER,)]  # the first row is the booster's own loss


def test_findings_go_to_their_place(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(faulty_board(), None)
    qtbot.waitUntil(lambda: panel.findings.is_settled)
    (first, *_) = panel.findings.cards
    QTest.mouseClick(first.go_to, Qt.MouseButton.LeftButton)
    assert SIDING in session.selection
    assert [place.run for place in seen.places] == [SIDING]


def test_the_sum_is_shown_when_asked_for(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(faulty_board(), None)
    qtbot.waitUntil(lambda: panel.findings.is_settled)
    first = panel.findings.cards[0]
    hidden = first.sum.isHidden()
    first.show_sum.click()
    assert (hidden, first.sum.isHidden()) == (True, False)


def test_a_fix_is_applied_as_one_step(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    findings = Findings(session, looks, lambda _: None)
    qtbot.addWidget(findings)
    with qtbot.waitSignal(session.study_ready):
        # Of three drops one is crossed over: turning that one, and no other, mends it.
        middle = replace(
            session.layout.need(D1, Drop),
            id=PartId("D3"),
            on=OnRun(run=MAIN, position_m=1.5),
            a_rail="right",
        )
        session.commit(Change("Add a drop", {middle.id: None}, {middle.id: middle}))
    qtbot.waitUntil(lambda: findings.is_settled)
    fixable = next(c for c in findings.cards if c.finding.fix is not None)
    with qtbot.waitSignal(session.study_ready):
        fixable.fix.click()
    assert session.layout.need(middle.id, Drop).a_rail == "left"
    assert session.undo_stack.count() == 2


def test_a_sound_board_has_nothing_to_find_fault_with(
    qtbot: QtBot, session: Session, looks: Looks
) -> None:
    findings = Findings(session, looks, lambda _: None)
    qtbot.addWidget(findings)
    with qtbot.waitSignal(session.study_ready):
        # In one piece, so that no rail hangs on a joiner.
        ids = frozenset({MAIN})
        session.commit(set_fields(session.layout, ids, piece_length_m=4.0))
    qtbot.waitUntil(lambda: findings.is_settled)
    assert (findings.words.text(), findings.cards) == (NONE, [])


def test_the_worst_place_takes_the_probe_there(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    assert session.result is not None
    worst = session.result.study.worst_volts
    assert worst is not None
    panel._on_worst(panel._worst.entries[0])
    assert (session.probe_place, seen.places) == (worst.place, [worst.place])


def test_while_the_first_study_runs_nobody_is_told_to_draw_track(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    panel.feeds.head.click()
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(board(), None)
        panel.refresh()
        said = [panel._words, panel.feeds.words, panel.findings.words]
        assert [w.text() for w in said] == ["The figures are being worked out."] * 3
        assert all(w.isVisible() for w in said)
    panel.refresh()
    assert not panel._words.isVisible()
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(Layout({}), None)
    panel.refresh()
    assert panel._words.text().startswith("No track is fed yet.")
    panel.close_work()


def test_shorted_track_is_left_out_and_its_current_is_no_train(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    on = OnRun(run=MAIN, position_m=1.0)
    train = Load(id=PartId("L1"), on=on, amps_a=0.6)
    d1 = replace(session.layout.need(D1, Drop), a_rail="right")
    parts = {**session.layout.parts, train.id: train, D1: d1}
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(Layout(parts), None)
    panel.refresh()
    assert panel._worst.entries == ()
    assert panel._left_out.text() == "PB1 is shorted: its track is left out."
    said = panel._draw.text()
    assert said.startswith("Together 0.60 A of ")  # the one train there is
    assert said.endswith("PB1 is shorted: that current is not counted.")
    panel.close_work()


def test_beside_shorted_track_the_worst_place_is_one_that_works(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    path = data_dir("sample_layouts") / "fennimarsh-loops-faults.fwl"
    with qtbot.waitSignal(session.study_ready, timeout=20000):
        session.replace_layout(read_layout(path)[0], None)
    panel.refresh()
    assert session.result is not None
    # PB2 feeds the station with its platform, the shorted PB1 the main line.
    names = {run_name(session.layout, e.parts[0]) for e in panel._worst.entries}
    assert len(panel._worst.entries) == 3
    assert "Main" not in names
    # By hand: 0.6 A and 0.8 A of trains, 0.03 A of lamps.
    assert panel._draw.text().startswith("Together 1.43 A of 10.0 A ")
    for quantity in ("volts", "loop", "short", "short_dc"):
        worst = session.result.sound.worst(quantity)
        assert worst is not None
        assert run_name(session.layout, worst.place.run) != "Main"
    panel.close_work()


def test_after_a_fix_the_list_stays_and_the_next_finding_has_the_keyboard(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.resize(320, 420)
    with qtbot.waitExposed(panel):
        panel.show()
    path = data_dir("sample_layouts") / "fennimarsh-loops-faults.fwl"
    with qtbot.waitSignal(session.study_ready, timeout=20000):
        session.replace_layout(read_layout(path)[0], None)
    panel.findings.refresh()
    for code in ("W123", "W103"):
        found = panel.findings.cards
        at = next(i for i, c in enumerate(found) if c.finding.code == code)
        card = found[at]
        qtbot.waitUntil(card.fix.isVisible)
        panel.activateWindow()
        qtbot.waitUntil(panel.isActiveWindow)
        card.fix.setFocus()
        panel.ensureWidgetVisible(card.fix)
        qtbot.wait(50)
        before = card.mapTo(panel.viewport(), QPoint(0, 0)).y()
        with qtbot.waitSignal(session.study_ready, timeout=20000):
            card.fix.click()
        qtbot.waitUntil(lambda c=card: c not in panel.findings.cards)  # type: ignore[misc]
        qtbot.wait(50)
        now = panel.findings.cards[at]
        focus = QApplication.focusWidget()
        assert focus is not None
        assert now.isAncestorOf(focus)
        after = now.mapTo(panel.viewport(), QPoint(0, 0)).y()
        assert abs(after - before) <= 2
    panel.close_work()


def test_a_finding_that_is_gone_to_hands_its_way_on_and_escape_takes_it_back(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    turned = replace(session.layout.need(PartId("D2"), Drop), a_rail="right")
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(
            Layout({**session.layout.parts, turned.id: turned}), None
        )
    panel.findings.refresh()
    card = next(c for c in panel.findings.cards if c.finding.code == "W103")
    card.go_to.click()
    assert seen.trails == [card.finding.trail]
    assert seen.trails[0] is not None
    assert len(session.selection) == 1  # the rest lies on the way, and would hide it
    QTest.keyClick(panel.findings, Qt.Key.Key_Escape)
    assert seen.trails[-1] is None
    panel.close_work()


def test_turnouts_that_make_a_fault_are_set_from_its_card(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    layout = yard(heel_gaps=False, lead_m=0.2)
    parts = {i: part for i, part in layout.parts.items() if i != GAP}
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(Layout(parts), None)
    panel.findings.refresh()
    card = next(c for c in panel.findings.cards if c.finding.code == "W115")
    assert not card.throw.isHidden()
    assert "T1" in card.throw.toolTip()
    steps = session.undo_stack.count()
    with qtbot.waitSignal(session.study_ready):
        card.throw.click()
    assert session.thrown == (TURNOUT,)
    assert session.undo_stack.count() == steps
    assert seen.trails[-1] is not None
    panel.findings.refresh()
    again = next(c for c in panel.findings.cards if c.finding.code in ("W115", "W103"))
    assert again.throw.isHidden()
    panel.close_work()


def test_the_bar_of_a_row_lies_below_all_its_words(qtbot: QtBot, looks: Looks) -> None:
    row = EntryButton(Entry((), "Main", "1 A", "two\nlines", share=1.0), looks)
    qtbot.addWidget(row)
    row.resize(200, row.sizeHint().height())
    image = row.grab().toImage()
    bar = looks.theme.device
    rows = [y for y in range(image.height()) if image.pixelColor(100, y).name() == bar]
    assert rows
    assert min(rows) > 20 + 2 * 16  # the head, and two lines of 16 px below it
    assert max(rows) < image.height()
