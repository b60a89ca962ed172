"""Legs and restarts in the Prove stage: told where there is something to say."""

from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.panels.answers.conductors import NOTHING, tell_conductors
from app.panels.answers.legs import tell_legs
from app.panels.answers.restarts import NO_STORES, tell_restarts
from app.panels.lists import Entry, EntryButton
from app.panels.stages.prove import ProvePanel
from app.session.asking import Talk
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.examine import study_layout
from core.layout.layout import Layout
from core.layout.parts import Inline, ToPort
from tests.app.board import board
from tests.app.panels.conftest import Seen
from tests.core.analysis.layouts import small_line, train
from tests.core.analysis.test_protection import behind_a_breaker, engines, loose_bus
from tests.core.analysis.test_returning import districts

TALK = Talk(lambda _: None)


def test_a_loose_leg_tells_inductance_notch_and_snubber() -> None:
    # needs.md N52: 40 m of 14 AWG 100 mm apart 81 µH; N56: at 4.5 A 24 µs, which is
    # 41 % of the 58 µs of a half-bit; N54: 0.78 W in the snubber.
    (entry,) = tell_legs(study_layout(loose_bus()), TALK).entries
    notch, snubber = entry.more.splitlines()
    assert entry.figure == "81 µH"
    assert notch.startswith("40.00 m, 4.50 A: notch 24")
    assert snubber == "if its end rings: 120 Ω + 0.1 µF, 0.78 W; take 2 W"
    assert entry.wrong


def test_no_snubber_is_offered_behind_a_detector() -> None:
    parts = dict(loose_bus().parts)
    detector = Inline(
        id="DT1",  # type: ignore[arg-type]
        device="detector",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part="PB1"),  # type: ignore[arg-type]
        trip_a=None,
    )
    bus = replace(parts["B1"], start=ToPort(part=detector.id))  # type: ignore[index]
    layout = Layout({**parts, detector.id: detector, bus.id: bus})
    (entry,) = tell_legs(study_layout(layout), TALK).entries
    assert entry.more.endswith("no snubber at its end: DT1 would see it")


def test_a_leg_behind_a_short_has_no_load_to_tell() -> None:
    parts = dict(small_line(train(1, 1.0, 0.5)).parts)
    crossed = replace(parts["D1"], a_rail="right")  # type: ignore[index]
    study = study_layout(Layout({**parts, crossed.id: crossed}))
    (entry,) = tell_legs(study, TALK).entries
    assert entry.more.endswith("its booster is shorted, so its load is not told")


def test_engines_behind_a_short_do_not_restart_before_it_is_cured() -> None:
    parts = dict(behind_a_breaker(*engines(6)).parts)
    crossed = replace(parts["D1"], a_rail="right")  # type: ignore[index]
    study = study_layout(Layout({**parts, crossed.id: crossed}))
    assert tell_restarts(study, TALK).entries == ()


def test_a_short_leg_without_load_has_little_to_tell() -> None:
    (entry,) = tell_legs(study_layout(small_line()), TALK).entries
    assert entry.more.endswith("no load on it")
    assert not entry.wrong


def test_six_engines_trip_their_breaker_again() -> None:
    # needs.md N30: 6 × 1000 µF at 15 V, trip 4 A, idle 0.4 A: 25 ms > 16 ms; three.
    study = study_layout(behind_a_breaker(*engines(6)))
    (entry,) = tell_restarts(study, TALK).entries
    assert (entry.parts, entry.figure, entry.wrong) == (("CB1",), "trips again", True)
    assert entry.more.splitlines() == [
        "6 engines need 25 ms, it waits 16 ms",
        "3 at once would restart",
        "PB1 then gives 4.00 A",
    ]


def test_three_engines_restart() -> None:
    # Half the charge: 12.5 ms, told as 12, under the 16 ms that the breaker waits.
    study = study_layout(behind_a_breaker(*engines(3)))
    (entry,) = tell_restarts(study, TALK).entries
    assert (entry.figure, entry.wrong) == ("restarts", False)
    assert entry.more.splitlines()[0] == "3 engines need 12 ms, it waits 16 ms"


def test_a_booster_that_trips_when_all_close_at_once_comes_first() -> None:
    # 4 mF · 15 V / (3 − 0.4) A = 23 ms > 10 ms; in turn 2 A beside 0.2 A.
    first, *turns = tell_restarts(districts(3.0, 0.010), TALK).entries
    assert (first.parts, first.wrong) == (("PB1", "CB1", "CB2"), True)
    assert first.more.splitlines() == [
        "CB1 and CB2 at once, 4 engines: 23 ms to charge, it waits 10 ms",
        "one after the other it gives 2.20 A at most, and stays on",
    ]
    assert [turn.more.splitlines()[-1] for turn in turns] == [
        "PB1 then gives 2.00 A",
        "PB1 then gives 2.20 A",
    ]
    first, *_ = tell_restarts(districts(4.0, 0.010), TALK).entries
    assert (first.figure, first.wrong) == ("restarts", False)


def test_engines_without_a_store_stand_in_no_ones_way() -> None:
    study = study_layout(small_line(train(1, 1.0, 0.5)))
    assert tell_restarts(study, TALK).sentence == NO_STORES


def test_conductors_that_hold_are_told_with_their_sums() -> None:
    # (115·0.5)² = 3306 A²s, k = 115 of IEC 60364-4-43.
    answer = tell_conductors(study_layout(board()), TALK)
    drops = next(e for e in answer.entries if e.word.startswith("Drop "))
    assert drops.figure == "5.00 A"
    lines = drops.more.splitlines()
    assert lines[0] == "0.5 mm² flexible, behind PB1"
    assert lines[1].startswith("holds: ")
    assert lines[1].endswith("≤ 5.00 A")
    assert lines[2].endswith("≤ 3\u00a0310 A²s")
    assert answer.sentence.startswith("Every conductor stands")
    assert not any(entry.wrong for entry in answer.entries)


def test_a_wire_too_thin_comes_first_and_is_marked() -> None:
    # 0.14 mm² is good for 1.5 A (hobby press guidance).
    thin = replace(board().parts["D1"], wire="0.14mm2-hookup")  # type: ignore[index]
    answer = tell_conductors(
        study_layout(Layout({**board().parts, thin.id: thin})), TALK
    )
    first = answer.entries[0]
    assert (first.parts, first.figure, first.wrong) == (("D1",), "1.50 A", True)
    assert "▲ too thin" in first.more
    assert answer.sentence == (
        "One kind of conductor stands less than what protects it lets through."
    )


def test_conductors_without_power_have_nothing_to_tell() -> None:
    assert tell_conductors(study_layout(Layout()), TALK).sentence == NOTHING


def test_cards_with_nothing_to_say_are_not_there(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = ProvePanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    shown = []
    for layout in (board(), behind_a_breaker(*engines(6))):
        with qtbot.waitSignal(session.study_ready):
            session.replace_layout(layout, None)
        shown.append((panel.legs.isVisible(), panel.restarts.isVisible()))
    panel.close_work()
    # The board has neither a bus nor an engine.
    assert shown == [(False, False), (True, True)]


def test_a_row_grows_with_the_lines_it_has(qtbot: QtBot, looks: Looks) -> None:
    heights = []
    for more in ("", "one", "one\ntwo"):
        row = EntryButton(Entry((), "word", more=more), looks)
        qtbot.addWidget(row)
        heights.append(row.sizeHint().height())
    assert heights[1] - heights[0] == heights[2] - heights[1] > 0
