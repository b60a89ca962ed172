"""The window: start page, stages, tools, menus, and the guard of unsaved work."""

from collections.abc import Callable
from pathlib import Path
from threading import Event
from time import sleep

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.build import Program
from app.data import data_dir
from app.panels.colour_switch import CHOICES
from app.panels.fields.editors import LineEditor
from app.session.asking import Talk
from app.session.stages import STAGES
from app.shell.actions import COMMANDS, MENUS
from app.shell.filing import LEAVE, SAVE
from app.tools.catalogue import TOOLS
from core.layout.edits.add import add_booster
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Point, ToPort, TrackRun, Turnout, Turntable
from core.layout.storage.write import write_layout
from core.layout.turntables import standing_at
from tests.app.board import SIDING, board, faulty_board
from tests.app.yard import TURNOUT, yard
from tests.core.analysis.layouts import breaker
from tests.core.checks.shed import shed


def open_layout(qtbot: QtBot, program: Program, path: Path) -> None:
    with qtbot.waitSignal(program.session.study_ready):
        assert program.filing.open(path)


def change(program: Program) -> None:
    session = program.session
    session.commit(add_booster(session.layout, Point(x_mm=0.0, y_mm=0.0)))


def answer(program: Program, choice: int | None) -> list[str]:
    """Let the person answer every question so; return the questions."""
    asked: list[str] = []

    def ask(_: QWidget, text: str, *_more: str) -> int | None:
        asked.append(text)
        return choice

    program.filing._ask = ask
    return asked


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    path = tmp_path / "faulty.fwl"
    write_layout(faulty_board(), path)
    return path


# Start page and menus


def test_an_empty_start_offers_the_samples_and_a_new_layout(program: Program) -> None:
    words = {b.text() for b in program.start.findChildren(QPushButton)}
    count = len(list(data_dir("sample_layouts").glob("*.fwl")))
    assert not program.window.is_at_work
    assert "New layout" in words
    assert count
    assert len(program.start._samples) == count


def test_new_layout_begins_at_the_first_stage(program: Program) -> None:
    QTest.mouseClick(program.start.new, Qt.MouseButton.LeftButton)
    assert program.window.is_at_work
    assert program.bench.stage == "backdrop"


def test_a_sample_is_opened_without_its_file(qtbot: QtBot, program: Program) -> None:
    sample = program.start._samples[0]
    with qtbot.waitSignal(program.session.study_ready):
        program.filing.open_sample(sample.path)
    assert program.session.path is None
    assert sample.title in program.window.windowTitle()


def test_every_command_stands_in_one_menu() -> None:
    listed = [n for _, names in MENUS for n in names if n and not n.endswith(">")]
    assert sorted(listed) == sorted([c.id for c in COMMANDS] + ["undo", "redo"])


def test_no_two_commands_share_a_key() -> None:
    keys = [c.shortcut for c in COMMANDS if c.shortcut]
    assert len(set(keys)) == len(keys)


# Stages and tools


@pytest.mark.parametrize("stage", [s.id for s in STAGES if s.id != "sheet"])
def test_a_stage_shows_only_its_own_tools(program: Program, stage: str) -> None:
    program.filing.new()
    program.bench.set_stage(stage)
    own = {tool.id for tool in TOOLS.values() if stage in tool.stages}
    assert set(program.bench.tools.tool_ids) == own


def test_the_sheet_stage_shows_pages_in_place_of_the_plan(program: Program) -> None:
    program.filing.new()
    program.actions["stage-sheet"].trigger()
    assert program.bench.preview.isVisible()
    assert not program.canvas.isVisible()


def test_a_tools_key_goes_to_the_stage_that_offers_it(
    qtbot: QtBot, program: Program
) -> None:
    program.filing.new()
    program.bench.set_stage("prove")
    program.canvas.setFocus()
    QTest.keyClick(program.canvas, Qt.Key.Key_R)
    assert (program.canvas.tool, program.bench.stage) == ("run", "track")
    assert program.bench.tools.button("run").isChecked()


@pytest.mark.parametrize("tool", ["turnout", "helix", "bus", "turntable"])
def test_the_track_tools_letter_takes_it_up_from_any_tool(
    program: Program, tool: str
) -> None:
    program.filing.new()
    program.bench.set_tool(tool)
    QTest.mouseClick(program.canvas.viewport(), Qt.MouseButton.LeftButton)
    QTest.keyClick(program.canvas, Qt.Key.Key_R)
    assert program.canvas.tool == "run"


def test_letters_typed_in_a_field_take_up_no_tool(
    qtbot: QtBot, program: Program
) -> None:
    program.filing.new()
    field = program.panels.backdrop.findChild(LineEditor)
    assert field is not None
    field.setFocus()
    QTest.keyClicks(field, "r")
    assert (program.canvas.tool, "r" in field.text()) == ("select", True)


@pytest.mark.parametrize("key", [Qt.Key.Key_Escape, Qt.Key.Key_Return])
def test_a_field_that_is_done_with_hands_the_keys_to_the_plan(
    qtbot: QtBot, program: Program, faulty: Path, key: Qt.Key
) -> None:
    open_layout(qtbot, program, faulty)
    program.session.select([SIDING])
    editor = program.bench.context.properties.form.editor("name")
    assert isinstance(editor, LineEditor)
    before = editor.text()
    editor.setFocus()
    QTest.keyClicks(editor, "B")
    QTest.keyClick(editor, key)
    assert program.canvas.hasFocus()
    taken = program.session.layout.need(SIDING, TrackRun).name
    assert taken == (before if key == Qt.Key.Key_Escape else f"B{before}")


def test_what_is_open_is_counted_on_its_stage(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    result = program.session.result
    assert result is not None
    counts = {"drops": 1, "prove": len(result.findings)}
    stages = program.bench.stages
    qtbot.waitUntil(
        lambda: {name: stages.button(name).open_count for name in counts} == counts
    )


def test_what_is_open_leads_to_its_parts(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    program.bench.set_stage("drops")
    bar = program.bench.stages

    def link() -> QPushButton | None:
        found = (b for b in bar.findChildren(QPushButton) if b.isVisible())
        return next((b for b in found if b.text() == "1 run has no drop"), None)

    qtbot.waitUntil(lambda: link() is not None)
    made = link()
    assert made is not None
    made.click()
    assert program.session.selection == {SIDING}


def test_the_next_finding_is_a_key_away(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    program.bench.set_stage("track")
    program.actions["finding"].trigger()
    assert program.bench.stage == "prove"
    assert SIDING in program.session.selection


def test_closing_ends_what_cards_are_working_out(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    begun, over = Event(), list[bool]()

    def work(talk: Talk) -> None:
        begun.set()
        while talk.goes_on():
            sleep(0.001)
        over.append(True)

    inquiries = (
        program.panels.prove.openings.inquiry,
        program.panels.prove.legs.inquiry,
        program.panels.prove.restarts.inquiry,
        program.panels.power.sizes.inquiry,
        program.panels.drops.filling.inquiry,
    )
    for inquiry in inquiries:
        begun.clear()
        inquiry.ask(work)
        assert begun.wait(5)
    program.close()
    assert len(over) == len(inquiries)


def test_f6_goes_round_the_window(program: Program) -> None:
    program.filing.new()
    program.canvas.setFocus()
    bench = program.bench
    panes = (bench.context, bench.stages, bench.tools, program.canvas)
    for pane in panes:
        program.actions["pane"].trigger()
        focus = program.window.focusWidget()
        assert focus is not None
        assert focus is pane or pane.isAncestorOf(focus)


def test_the_plan_follows_the_theme(program: Program) -> None:
    program.filing.new()
    before = program.canvas.grab().toImage().pixelColor(5, 5).lightness()
    program.actions["theme-dark"].trigger()
    after = program.canvas.grab().toImage().pixelColor(5, 5).lightness()
    program.actions["theme-light"].trigger()
    assert before > 128 > after
    assert program.looks.theme.name == "light"
    assert QColor(program.looks.theme.paper).lightness() > 200


# Undo, files, and unsaved work


def test_undo_and_redo_stand_in_the_menu_by_name(program: Program) -> None:
    program.filing.new()
    change(program)
    assert program.actions["undo"].text() == "&Undo Add booster PB1"
    program.actions["undo"].trigger()
    assert not program.session.is_dirty
    program.actions["redo"].trigger()
    assert program.session.is_dirty


def test_unsaved_work_is_marked_in_the_title(program: Program) -> None:
    program.filing.new()
    change(program)
    assert program.window.isWindowModified()
    program.actions["undo"].trigger()
    assert not program.window.isWindowModified()


Leave = Callable[[Program, Path], object]
WAYS = pytest.mark.parametrize(
    "way",
    [
        lambda p, _: p.filing.new(),
        lambda p, path: p.filing.open(path),
        lambda p, _: p.window.close(),
        lambda p, _: p.actions["start"].trigger(),
    ],
    ids=["new", "open", "close", "start page"],
)


@WAYS
def test_unsaved_work_is_not_left_without_a_word(
    program: Program, faulty: Path, way: Leave
) -> None:
    program.filing.new()
    change(program)
    asked = answer(program, None)
    way(program, faulty)
    assert asked == ["Save the changes to “Untitled layout”?"]
    assert program.session.is_dirty
    assert program.window.isVisible()


@WAYS
def test_saved_work_is_left_without_a_question(
    program: Program, faulty: Path, way: Leave
) -> None:
    program.filing.new()
    asked = answer(program, None)
    way(program, faulty)
    assert asked == []


def test_save_in_the_question_saves(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    before = faulty.read_bytes()
    change(program)
    answer(program, SAVE)
    program.filing.new()
    assert faulty.read_bytes() != before
    assert not program.session.is_dirty


def test_leave_in_the_question_leaves_the_file_alone(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    before = faulty.read_bytes()
    change(program)
    answer(program, LEAVE)
    program.filing.new()
    assert faulty.read_bytes() == before
    assert program.session.path is None


def test_a_file_that_is_no_layout_is_told_of(
    qtbot: QtBot, program: Program, faulty: Path, tmp_path: Path
) -> None:
    open_layout(qtbot, program, faulty)
    bad = tmp_path / "bad.fwl"
    bad.write_text("{}", encoding="utf-8")
    assert not program.filing.open(bad)
    assert "bad.fwl" in program.notices.words.text()
    assert program.session.path == faulty


def test_a_file_that_was_opened_is_offered_again(
    qtbot: QtBot, program: Program, faulty: Path
) -> None:
    open_layout(qtbot, program, faulty)
    program.actions["start"].trigger()
    words = {b.text() for b in program.start.findChildren(QPushButton)}
    assert "faulty" in words


def test_work_that_was_kept_is_offered_and_comes_back(
    qtbot: QtBot, program: Program
) -> None:
    folder = program.session._keeper.folder
    folder.mkdir(parents=True, exist_ok=True)
    write_layout(board(), folder / "unsaved-9.fwl")
    assert program.rescue.offer() == 1
    back = [
        b
        for b in program.start.findChildren(QPushButton)
        if b.text() == "Bring it back"
    ]
    back[0].click()
    assert program.session.layout.settings.title == "Test board"
    assert program.session.is_dirty
    answer(program, LEAVE)


# Turnouts thrown


def test_thrown_turnouts_are_named_and_set_back_in_the_status_line(
    qtbot: QtBot, program: Program
) -> None:
    with qtbot.waitSignal(program.session.study_ready):
        program.session.replace_layout(yard(), None)
    program.window.show_work()
    status = program.bench.status
    program.session.select([TURNOUT])
    program.actions["throw"].trigger()
    assert (status.thrown.text(), status.thrown.isVisible()) == ("Thrown: T1", True)
    QTest.mouseClick(status.straight, Qt.MouseButton.LeftButton)
    assert (program.session.thrown, status.thrown.isVisible()) == ((), False)


def test_throwing_with_no_turnout_selected_says_what_to_do(program: Program) -> None:
    program.filing.new()
    program.actions["throw"].trigger()
    assert "Select a turnout, turntable, lift-out" in program.notices.words.text()


def test_the_menu_of_a_part_leaves_the_keys_at_work(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QMenu, "popup", lambda *_: None)  # not on every screen
    program.filing.new()
    program.bench._show_menu(QPoint(0, 0))
    (menu,) = program.bench.findChildren(QMenu)
    disabled = not program.actions["delete"].isEnabled()
    menu.aboutToHide.emit()
    assert (disabled, program.actions["delete"].isEnabled()) == (True, True)


def test_the_rails_are_shown_by_poles_and_by_feeds(
    program: Program, qtbot: QtBot, tmp_path: Path
) -> None:
    legend, canvas = program.bench.legend, program.canvas
    path = tmp_path / "board.fwl"
    write_layout(board(), path)
    open_layout(qtbot, program, path)
    program.actions["colour-poles"].trigger()
    assert canvas.look.view == "poles"
    assert legend.keys.poles.isVisibleTo(legend)
    program.actions["colour-districts"].trigger()
    at = [view for view, *_ in CHOICES].index("districts")
    assert legend.switch._group.button(at).isChecked()
    assert legend.keys.districts.isVisibleTo(legend)
    assert not legend.ramp.isVisibleTo(legend)
    qtbot.waitUntil(lambda: len(legend.keys.districts.buttons) == 1)
    legend.keys.districts.buttons[0].click()
    assert canvas.look.focus == 1
    assert program.session.selection == {PartId("R1")}
    program.actions["colour-volts"].trigger()
    assert canvas.look.focus == 0
    assert legend.ramp.isVisibleTo(legend)


def test_a_district_in_the_list_is_shown_by_what_feeds_it(
    program: Program, qtbot: QtBot, tmp_path: Path
) -> None:
    path = tmp_path / "board.fwl"
    write_layout(board(), path)
    open_layout(qtbot, program, path)
    program.bench.set_stage("prove")
    feeds = program.panels.prove.feeds
    qtbot.waitUntil(lambda: feeds.head.text().endswith("(1)"))
    feeds.head.click()
    qtbot.waitUntil(lambda: len(feeds.list.entries) == 1)
    feeds.list._rows[0].click()
    assert program.canvas.look.view == "districts"
    assert program.canvas.look.focus == 1


def test_selected_turnouts_are_flipped_by_the_menu_in_one_step(
    program: Program,
) -> None:
    program.session.replace_layout(yard(), None)
    program.window.show_work()
    program.actions["flip"].trigger()
    assert "Select a turnout first" in program.notices.words.text()
    program.session.select([TURNOUT])
    program.actions["flip"].trigger()
    program.actions["turn"].trigger()
    made = program.session.layout.need(TURNOUT, Turnout)
    assert (made.hand, made.opens) == ("right", "backward")
    assert program.session.undo_stack.count() == 2
    program.session.undo_stack.undo()
    program.session.undo_stack.undo()
    assert program.session.layout.need(TURNOUT, Turnout).hand == "left"


def test_the_menu_of_a_turnout_offers_to_flip_it(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QMenu, "popup", lambda *_: None)  # not on every screen
    program.session.replace_layout(yard(), None)
    program.session.select([TURNOUT])
    program.bench._show_menu(QPoint(0, 0))
    (menu,) = program.bench.findChildren(QMenu)
    assert program.actions["flip"] in menu.actions()


def test_f9_brings_the_bridge_of_a_selected_turntable_to_its_next_stall(
    program: Program,
) -> None:
    program.session.replace_layout(shed(30, 150), None)
    program.window.show_work()
    (table,) = program.session.layout.of_kind(Turntable)
    seen: list[list[int]] = []
    for chosen in (table.id, table.bridge):
        program.session.select([chosen])
        program.actions["throw"].trigger()
        at = standing_at(program.session.layout, table)
        seen.append([place.number for place in at])
    assert seen == [[1], [2]]


def test_a_turntable_without_stalls_says_what_to_do(program: Program) -> None:
    program.session.replace_layout(shed(), None)
    program.session.select([PartId("TT1")])
    program.actions["throw"].trigger()
    assert "Draw track up to the edge" in program.notices.words.text()


def test_beside_the_way_of_a_finding_only_one_part_is_selected(
    program: Program, qtbot: QtBot, tmp_path: Path
) -> None:
    # A booster and a breaker feed the same track: no one place is to blame.
    layout = board()
    second = replace(layout.need(PartId("D2"), Drop), to=ToPort(part=PartId("CB1")))
    own = {part.id: part for part in (breaker(1), second)}
    path = tmp_path / "joined.fwl"
    write_layout(Layout({**layout.parts, **own}), path)
    open_layout(qtbot, program, path)
    program.bench.set_stage("prove")
    findings = program.panels.prove.findings
    findings.refresh()
    card = next(c for c in findings.cards if c.finding.code == "W127")
    assert card.finding.place is None
    card.go_to.click()
    assert len(program.session.selection) == 1
    assert program.canvas.trail is not None
