"""Backdrops: read by a child process, refused with a sentence, kept whole."""

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QUrl
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.panels.intake import Intake, Taken
from app.panels.stages.backdrop import BackdropPanel
from app.session.looks import Looks
from app.session.session import Session
from tests.app.panels.conftest import Seen


def picture(path: Path, width: int = 60, height: int = 40) -> Path:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    image.setPixelColor(3, 4, QColor("red"))
    assert image.save(str(path))
    return path


def test_a_dropped_picture_becomes_the_backdrop(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen, tmp_path: Path
) -> None:
    panel = BackdropPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(picture(tmp_path / "bench.png")))])
    with qtbot.waitSignal(panel.intake.taken):
        assert panel.take(mime)
    backdrop = session.layout.backdrop
    assert backdrop is not None
    assert (backdrop.name, backdrop.width_px, backdrop.height_px) == (
        "bench.png",
        60,
        40,
    )
    kept = QImage.fromData(backdrop.data)
    assert kept.pixelColor(3, 4) == QColor("red")
    session.undo_stack.undo()
    assert session.layout.backdrop is None


def test_a_pasted_picture_is_taken(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen, tmp_path: Path
) -> None:
    panel = BackdropPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    mime = QMimeData()
    mime.setImageData(QImage(str(picture(tmp_path / "a.png"))))
    with qtbot.waitSignal(panel.intake.taken):
        assert panel.take(mime)
    assert session.layout.backdrop is not None


def test_words_on_the_clipboard_are_no_picture(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = BackdropPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    mime = QMimeData()
    mime.setText("hello")
    assert not panel.take(mime)


def test_what_is_no_picture_is_refused_in_words(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "notes.png"
    path.write_text("hello", encoding="utf-8")
    intake = Intake()
    with qtbot.waitSignal(intake.refused) as told:
        intake.read(path)
    assert str(told.args[0]).startswith("notes.png is no picture that can be read.")


def test_a_typed_width_sets_the_scale(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen, tmp_path: Path
) -> None:
    panel = BackdropPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    with qtbot.waitSignal(panel.intake.taken):
        panel.intake.read(picture(tmp_path / "a.png"))
    editor = panel.form.editor("mm_per_px")
    editor.edited.emit("2.4 m")
    backdrop = session.layout.backdrop
    assert backdrop is not None
    assert backdrop.mm_per_px == pytest.approx(2400 / 60)


@pytest.mark.skipif(sys.platform == "win32", reason="the child's clock is POSIX only")
def test_a_picture_that_hangs_its_reader_is_given_up(
    qtbot: QtBot, tmp_path: Path
) -> None:
    intake = Intake()
    intake._clock.setInterval(1500)
    path = tmp_path / "bomb.svg"
    path.write_text(use_bomb(), encoding="utf-8")
    with qtbot.waitSignal(intake.refused, timeout=10_000) as told:
        intake.read(path)
    assert str(told.args[0]).startswith("bomb.svg took too long to read")


def use_bomb() -> str:
    """Return a drawing of 2 kB that draws a hundred million squares."""
    space = 'xmlns="http://www.w3.org/2000/svg"'
    link = 'xmlns:xlink="http://www.w3.org/1999/xlink"'
    groups = ['<g id="a0"><rect width="1" height="1"/></g>']
    for i in range(1, 9):
        uses = f'<use xlink:href="#a{i - 1}"/>' * 10
        groups.append(f'<g id="a{i}">{uses}</g>')
    defs = "".join(groups)
    size = 'width="300" height="200"'
    return (
        f'<svg {space} {link} {size}><defs>{defs}</defs><use xlink:href="#a8"/></svg>'
    )


def test_reading_another_gives_the_first_up(qtbot: QtBot, tmp_path: Path) -> None:
    intake = Intake()
    taken: list[Taken] = []
    intake.taken.connect(taken.append)
    with qtbot.waitSignal(intake.taken):
        intake.read(picture(tmp_path / "first.png"))
        intake.read(picture(tmp_path / "second.png"))
    assert [t.backdrop.name for t in taken] == ["second.png"]
