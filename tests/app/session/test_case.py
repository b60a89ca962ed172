"""Turnouts that are thrown: assumed, studied, and neither saved nor undone."""

import pytest
from pytestqt.qtbot import QtBot

from app.session.session import Session
from core.layout.edits.remove import remove_parts
from core.layout.ids import PartId
from core.layout.storage.text import dump_layout
from tests.app.board import MAIN
from tests.app.yard import TURNOUT, yard
from tests.core.checks.gate import gate


@pytest.fixture
def open_yard(session: Session, qtbot: QtBot) -> Session:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(yard(), None)
    return session


def touched_rail(session: Session) -> str:
    """Return which rail of the main line the contact of the crossing lies on."""
    assert session.result is not None
    circuit = session.result.study.circuit
    (frog,) = circuit.frogs
    return circuit.nodes[circuit.branches[frog.branch].tail].wire


def test_a_thrown_turnout_is_studied_as_it_lies(
    open_yard: Session, qtbot: QtBot
) -> None:
    # The siding leaves to the left: the main line's inner rail is its left one.
    assert touched_rail(open_yard) == "left"
    with qtbot.waitSignals([open_yard.case_changed, open_yard.study_ready]):
        open_yard.throw([TURNOUT])
    assert (open_yard.thrown, touched_rail(open_yard)) == ((TURNOUT,), "right")


def test_throwing_makes_the_figures_stale_at_once(open_yard: Session) -> None:
    open_yard.throw([TURNOUT])
    assert open_yard.result is not None
    assert open_yard.result.stale


def test_a_turnout_thrown_twice_lies_straight(open_yard: Session) -> None:
    for _ in range(2):
        open_yard.throw([TURNOUT])
    assert open_yard.thrown == ()


def test_all_straight_sets_every_turnout_back(open_yard: Session) -> None:
    open_yard.throw([TURNOUT])
    open_yard.set_straight()
    assert open_yard.thrown == ()


def test_what_is_no_turnout_cannot_be_thrown(open_yard: Session) -> None:
    open_yard.throw([MAIN, PartId("T9")])
    assert open_yard.thrown == ()


def test_throwing_is_no_step_and_not_in_the_file(open_yard: Session) -> None:
    before = dump_layout(open_yard.layout)
    open_yard.throw([TURNOUT])
    assert (open_yard.undo_stack.count(), open_yard.is_dirty) == (0, False)
    assert dump_layout(open_yard.layout) == before


def test_a_deleted_turnout_is_not_thrown_when_it_comes_back(
    open_yard: Session,
) -> None:
    open_yard.throw([TURNOUT])
    open_yard.commit(remove_parts(open_yard.layout, frozenset({TURNOUT})))
    open_yard.undo_stack.undo()
    assert open_yard.thrown == ()


def test_another_layout_begins_with_all_turnouts_straight(open_yard: Session) -> None:
    open_yard.throw([TURNOUT])
    open_yard.replace_layout(yard(), None)
    assert open_yard.thrown == ()


def test_an_open_gate_is_studied_open_and_is_no_turnout(
    session: Session, qtbot: QtBot
) -> None:
    session.replace_layout(gate(), None)
    gate_id = PartId("LO1")
    with qtbot.waitSignals([session.case_changed, session.study_ready]):
        session.throw([gate_id])
    assert (session.opened, session.thrown) == ((gate_id,), ())
    assert session.result is not None
    # Section 0.8 m, and 0.9 m before each edge through its contact.
    dead = sum(s.end_m - s.start_m for s in session.result.study.unfed)
    assert dead == pytest.approx(0.8 + 2 * 0.9)
    assert not session.is_dirty
    session.set_straight()
    assert session.opened == ()


def test_a_deleted_gate_is_shut_when_it_comes_back(session: Session) -> None:
    session.replace_layout(gate(), None)
    session.throw([PartId("LO1")])
    session.commit(remove_parts(session.layout, frozenset({PartId("LO1")})))
    session.undo_stack.undo()
    assert session.opened == ()
