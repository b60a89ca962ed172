"""The session: steps, files, figures, selection and the probe."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.session.session import Session
from core.errors import FileFormatError
from core.layout.change import Change
from core.layout.edits.add import add_booster
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, OnRun, Point
from tests.app.board import BOOSTER, MAIN, board


def open_board(session: Session, qtbot: QtBot) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(board(), None)


def set_volts(session: Session, volts: float) -> None:
    ids = frozenset({BOOSTER})
    session.commit(set_fields(session.layout, ids, volts_v=volts))


def volts(session: Session) -> float:
    return session.layout.need(BOOSTER, Booster).volts_v


def test_every_commit_can_be_undone_to_the_empty_layout(session: Session) -> None:
    before = dict(session.layout.parts)
    for x in (0.0, 100.0, 200.0):
        session.commit(add_booster(session.layout, Point(x_mm=x, y_mm=0.0)))
    after = dict(session.layout.parts)
    for _ in range(3):
        session.undo_stack.undo()
    assert dict(session.layout.parts) == before
    for _ in range(3):
        session.undo_stack.redo()
    assert dict(session.layout.parts) == after


def test_typing_in_one_field_is_one_step(session: Session, qtbot: QtBot) -> None:
    open_board(session, qtbot)
    for value in (14.0, 14.5, 16.0):
        set_volts(session, value)
    session.undo_stack.undo()
    assert (volts(session), session.undo_stack.index()) == (15.0, 0)


def test_a_step_that_ends_where_it_began_vanishes(
    session: Session, qtbot: QtBot
) -> None:
    open_board(session, qtbot)
    set_volts(session, 14.0)
    set_volts(session, 15.0)
    assert (session.undo_stack.count(), session.is_dirty) == (0, False)


def test_a_change_that_changes_nothing_is_no_step(
    session: Session, qtbot: QtBot
) -> None:
    open_board(session, qtbot)
    set_volts(session, 15.0)
    assert session.undo_stack.count() == 0


def test_undoing_to_the_saved_state_is_not_dirty(
    session: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    open_board(session, qtbot)
    set_volts(session, 14.0)
    session.save_as(tmp_path / "a.fwl")
    dirty = [session.is_dirty]
    session.commit(add_booster(session.layout, Point(x_mm=0.0, y_mm=0.0)))
    dirty.append(session.is_dirty)
    session.undo_stack.undo()
    dirty.append(session.is_dirty)
    assert dirty == [False, True, False]


def test_a_saved_step_is_not_swallowed_by_the_next(
    session: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    open_board(session, qtbot)
    set_volts(session, 14.0)
    session.save_as(tmp_path / "a.fwl")
    set_volts(session, 16.0)
    session.undo_stack.undo()
    assert (volts(session), session.is_dirty) == (14.0, False)


def test_the_same_file_gives_the_same_figures(
    session: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    open_board(session, qtbot)
    assert session.result is not None
    before = session.result.study.worst_volts
    session.save_as(tmp_path / "a.fwl")
    session.new_layout()
    with qtbot.waitSignal(session.study_ready):
        session.open_file(tmp_path / "a.fwl")
    assert session.result.study.worst_volts == before


def test_a_sample_is_opened_without_its_file(session: Session, tmp_path: Path) -> None:
    session.save_as(tmp_path / "a.fwl")
    session.open_file(tmp_path / "a.fwl", sample=True)
    assert session.path is None


def test_a_bad_file_leaves_what_is_open(
    session: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    open_board(session, qtbot)
    bad = tmp_path / "bad.fwl"
    bad.write_text("no layout", encoding="utf-8")
    with pytest.raises(FileFormatError):
        session.open_file(bad)
    assert MAIN in session.layout.parts
    assert bad.read_text(encoding="utf-8") == "no layout"


def test_what_is_deleted_is_no_longer_selected(session: Session, qtbot: QtBot) -> None:
    open_board(session, qtbot)
    session.select([BOOSTER, PartId("D1")])
    session.commit(remove_parts(session.layout, frozenset({PartId("D1")})))
    assert session.selection == {BOOSTER}


def test_the_probe_keeps_what_it_read_before_an_edit(
    session: Session, qtbot: QtBot
) -> None:
    open_board(session, qtbot)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    with qtbot.waitSignal(session.study_ready):
        set_volts(session, 16.0)
    before, now = session.probe_before, session.probe
    assert before is not None
    assert now is not None
    # The same circuit on one volt more: nothing but that volt is gained.
    assert now.volts_v - before.volts_v == pytest.approx(1.0)


def test_the_probe_goes_with_its_run(session: Session, qtbot: QtBot) -> None:
    open_board(session, qtbot)
    session.set_probe(OnRun(run=MAIN, position_m=1.5))
    session.commit(remove_parts(session.layout, frozenset({MAIN})))
    assert session.probe_place is None


def test_a_change_makes_the_figures_stale_at_once(
    session: Session, qtbot: QtBot
) -> None:
    open_board(session, qtbot)
    set_volts(session, 16.0)
    assert session.result is not None
    assert session.result.stale


def test_a_probe_on_a_run_that_was_just_drawn_waits_for_its_figures(
    session: Session, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(Layout(), None)
    run = board().parts[MAIN]
    session.commit(Change("Draw a run", {MAIN: None}, {MAIN: run}))
    session.set_probe(OnRun(run=MAIN, position_m=1.0))
    assert session.probe is None
