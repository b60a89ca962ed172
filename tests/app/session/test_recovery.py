"""Unsaved work: kept behind the hand, found again after kill -9."""

import signal
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

import pytest
from pytestqt.qtbot import QtBot

from app.session import recovery as keeping
from app.session.result import Examine
from app.session.session import Session
from core.layout.edits.add import add_booster
from core.layout.parts import Booster, Point

ROOT = Path(__file__).parents[3]

CHILD = """
import sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication, QTimer
from app.session import recovery
recovery.BEHIND_MS = 50
from app.session.result import Examine
from app.session.session import Session
from core.layout.edits.add import add_booster
from core.layout.parts import Point
app = QCoreApplication([])
folder = Path(sys.argv[1])
session = Session(Examine(lambda layout, case: None, lambda study: ()), folder)
session.commit(add_booster(session.layout, Point(x_mm=7.0, y_mm=8.0)))
look = QTimer(interval=20)
look.timeout.connect(lambda: list(folder.glob("*.fwl")) and print("kept", flush=True))
look.start()
app.exec()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9 there")
def test_work_survives_kill_9(session: Session, tmp_path: Path) -> None:
    command = [sys.executable, "-c", CHILD, str(tmp_path / "unsaved")]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "kept\n"
        run.send_signal(signal.SIGKILL)
    (left,) = session.recoveries()
    session.bring_back(left)
    (booster,) = session.layout.of_kind(Booster)
    assert (booster.x_mm, booster.y_mm, session.is_dirty) == (7.0, 8.0, True)


def test_what_was_brought_back_is_offered_no_more(
    session: Session, tmp_path: Path
) -> None:
    test_work_survives_kill_9(session, tmp_path)
    assert session.recoveries() == ()


def kept(folder: Path) -> list[Path]:
    return list(folder.glob("*.fwl"))


def test_a_change_is_kept_soon_and_let_go_when_saved(
    qtbot: QtBot,
    session: Session,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    session._keeper._timer.setInterval(20)
    session.commit(add_booster(session.layout, Point(x_mm=0.0, y_mm=0.0)))
    qtbot.waitUntil(lambda: bool(kept(tmp_path / "unsaved")))
    session.save_as(tmp_path / "a.fwl")
    assert kept(tmp_path / "unsaved") == []


def test_undoing_everything_leaves_nothing_to_keep(
    session: Session, tmp_path: Path
) -> None:
    session.commit(add_booster(session.layout, Point(x_mm=0.0, y_mm=0.0)))
    session.keep_now()
    session.undo_stack.undo()
    assert kept(tmp_path / "unsaved") == []


def never(*_: object) -> NoReturn:
    pytest.fail("not asked")


def test_it_is_told_when_work_cannot_be_kept(qtbot: QtBot, tmp_path: Path) -> None:
    blocked = tmp_path / "a file, not a folder"
    blocked.write_text("", encoding="utf-8")
    session = Session(Examine(never, never), blocked)
    session._room.close()
    session._keeper._timer.setInterval(0)
    with qtbot.waitSignal(session.notice) as told:
        session._keeper.touch()
    assert str(told.args[0]).startswith("Unsaved work cannot be kept.")
    session.close()
    session.deleteLater()


def test_the_folder_is_the_persons_own() -> None:
    assert keeping.recovery_folder().parts[-2:] == ("Feederwright", "unsaved")
