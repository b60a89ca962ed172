"""What a study shows comes in order: colours, then poles, then findings."""

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.session.session import Session
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from tests.bench.generate import club_layout


class Diary(QObject):
    """Notes what happens to a canvas, without repeats."""

    def __init__(self, session: Session, canvas: Canvas) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.rails = canvas.rails
        heat, self._port = canvas._heat, canvas.viewport()
        self._port.installEventFilter(self)
        heat.shown.connect(lambda: self.note(f"shown {heat.rails is self.rails}"))
        heat.settled.connect(lambda: self.note("settled"))
        session.study_ready.connect(lambda _: self.note("findings"))

    def note(self, line: str) -> None:
        if self.lines[-1:] != [line]:
            self.lines.append(line)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._port and event.type() == QEvent.Type.Paint:
            self.note("painted")
        return False


def test_poles_wait_for_colours_to_be_painted_and_findings_for_both(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    canvas.set_colouring("volts")
    with qtbot.waitSignal(session.study_ready, timeout=20000):
        session.replace_layout(club_layout(40), None)
    qtbot.waitUntil(lambda: not canvas._heat.is_busy)
    qtbot.wait(300)  # words find their places
    thin = set_fields(session.layout, frozenset({PartId("B1")}), wire="0.5mm2-c5")
    session.commit(thin)
    QApplication.processEvents()  # the edit itself is painted
    diary = Diary(session, canvas)
    with qtbot.waitSignal(session.study_ready, timeout=20000):
        pass
    canvas.viewport().removeEventFilter(diary)
    told = [line for line in diary.lines if line != "painted"]
    assert told == ["shown True", "shown False", "settled", "findings"]
    colours, poles = (diary.lines.index(f"shown {known}") for known in (True, False))
    assert "painted" in diary.lines[colours:poles]


def test_without_colours_the_poles_come_and_all_is_settled(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    canvas.set_colouring(None)
    with qtbot.waitSignals([canvas._heat.settled, session.study_ready]):
        session.replace_layout(club_layout(40), None)
    assert canvas.rails is not None
    with qtbot.waitSignal(canvas._heat.settled):
        session.new_layout()
    assert canvas.rails is None


def test_another_quantity_puts_the_poles_off_and_not_out(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    canvas.set_colouring("volts")
    with qtbot.waitSignal(session.figures_ready, timeout=20000):
        session.replace_layout(club_layout(40), None)
    canvas.set_colouring("loop")
    assert canvas.rails is None
    with qtbot.waitSignals([canvas._heat.settled, session.study_ready]):
        pass
    assert canvas.rails is not None


def test_words_wait_for_findings_but_not_for_ever(
    qtbot: QtBot,
    session: Session,
    canvas: Canvas,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with qtbot.waitSignal(session.study_ready, timeout=20000):
        session.replace_layout(club_layout(40), None)
    qtbot.waitUntil(lambda: not canvas._heat.is_busy)
    settled: list[bool] = []
    others = [True]
    monkeypatch.setattr(canvas, "gives_way", lambda: others[0])
    monkeypatch.setattr(canvas.plan, "settle", lambda _: settled.append(True))
    canvas._rest.stop()
    canvas._on_rest()
    assert settled == []
    others[0] = False
    qtbot.waitUntil(lambda: settled == [True])
    others[0] = True
    canvas._on_rest()
    assert settled == [True]
    # Ten times 30 ms: longer than findings of most layouts take.
    qtbot.waitUntil(lambda: settled == [True, True])
    canvas._slice.stop()
