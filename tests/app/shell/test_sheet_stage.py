"""The Sheet stage: pages on screen, a PDF on disk, and a stop that leaves nothing."""

from pathlib import Path

import pypdfium2
from pytestqt.qtbot import QtBot

from app.build import Program
from core.layout.storage.write import write_layout
from tests.app.board import board

LONG_MS = 30_000


def open_board(qtbot: QtBot, program: Program, tmp_path: Path) -> None:
    path = tmp_path / "board.fwl"
    write_layout(board(), path)
    with qtbot.waitSignal(program.session.study_ready):
        program.filing.open(path)
    program.bench.set_stage("sheet")


def test_the_pages_on_screen_are_those_of_the_file(
    qtbot: QtBot, program: Program, tmp_path: Path
) -> None:
    open_board(qtbot, program, tmp_path)
    preview, panel = program.bench.preview, program.panels.sheet
    qtbot.waitUntil(lambda: preview.page_count > 0, timeout=LONG_MS)
    pdf = tmp_path / "board.pdf"
    with qtbot.waitSignal(panel.printed, timeout=LONG_MS):
        panel.print_to(pdf)
    document = pypdfium2.PdfDocument(str(pdf))
    assert len(document) == preview.page_count
    document.close()
    assert program.notices.words.text() == "Written: board.pdf"


def test_pages_that_are_not_wanted_are_left_out(
    qtbot: QtBot, program: Program, tmp_path: Path
) -> None:
    open_board(qtbot, program, tmp_path)
    preview = program.bench.preview
    qtbot.waitUntil(lambda: preview.page_count > 0, timeout=LONG_MS)
    before = preview.page_count
    program.wishes.set_option("ring_out", False)
    program.wishes.set_option("labels", False)
    qtbot.waitUntil(lambda: preview.page_count < before, timeout=LONG_MS)


def test_a_stopped_sheet_leaves_no_file(
    qtbot: QtBot, program: Program, tmp_path: Path
) -> None:
    open_board(qtbot, program, tmp_path)
    panel, pdf = program.panels.sheet, tmp_path / "board.pdf"
    panel.print_to(pdf)
    panel.stop.click()
    panel.close_work()
    assert not pdf.exists()
    assert panel.print.isEnabled()


def test_a_sheet_that_cannot_be_written_is_told_of(
    qtbot: QtBot, program: Program, tmp_path: Path
) -> None:
    open_board(qtbot, program, tmp_path)
    with qtbot.waitSignal(program.session.notice, timeout=LONG_MS):
        program.panels.sheet.print_to(tmp_path / "no such folder" / "a.pdf")
    assert "no such folder" in program.notices.words.text()
