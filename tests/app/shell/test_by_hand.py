"""The main job by hand: draw, wire, read a rail, undo it all, save and come back."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.build import Program
from core.layout.ids import SETTINGS_ID
from core.layout.parts import Booster, Bus, Drop, OnRun, TrackJoint, TrackRun

LEFT = Qt.MouseButton.LeftButton


class Hand:
    """Works the plan with mouse and keys, in millimetres of plan."""

    def __init__(self, program: Program) -> None:
        self._canvas = program.canvas

    def click(self, x_mm: float, y_mm: float) -> None:
        place = self._at(x_mm, y_mm)
        QTest.mouseMove(self._canvas.viewport(), place)
        QTest.mouseClick(self._canvas.viewport(), LEFT, pos=place)

    def key(self, key: Qt.Key) -> None:
        QTest.keyClick(self._canvas, key)

    def _at(self, x_mm: float, y_mm: float) -> QPoint:
        return self._canvas.mapFromScene(QPointF(x_mm, y_mm))


@pytest.fixture
def hand(program: Program) -> Hand:
    program.filing.new()
    return Hand(program)


def draw_oval(hand: Hand) -> None:
    """Draw two straights of 1.5 m and two half circles of radius 0.5 m."""
    hand.key(Qt.Key.Key_R)
    for x, y in ((600, 300), (2100, 300), (2100, 1300), (600, 1300), (600, 300)):
        hand.click(x, y)
    hand.key(Qt.Key.Key_Return)


def draw_power(hand: Hand) -> None:
    hand.key(Qt.Key.Key_P)
    hand.click(1350, 500)
    hand.key(Qt.Key.Key_B)
    for x, y in ((1350, 500), (1350, 800), (2000, 800)):
        hand.click(x, y)
    hand.key(Qt.Key.Key_Return)


def draw_drops(hand: Hand) -> None:
    hand.key(Qt.Key.Key_D)
    for x, y in ((900, 300), (1800, 300), (1350, 1300)):
        hand.click(x, y)


def probe(qtbot: QtBot, program: Program, hand: Hand) -> str:
    qtbot.waitUntil(lambda: not program.session.is_studying)
    hand.key(Qt.Key.Key_V)
    hand.click(1000, 1300)
    return program.card.volts.text()


def test_the_main_job_by_hand(
    qtbot: QtBot, program: Program, hand: Hand, tmp_path: Path
) -> None:
    session = program.session
    draw_oval(hand)
    draw_power(hand)
    draw_drops(hand)
    layout = session.layout
    (run,) = layout.of_kind(TrackRun)
    assert [len(list(layout.of_kind(k))) for k in (TrackJoint, Booster, Bus, Drop)] == [
        1,
        1,
        1,
        3,
    ]
    read = probe(qtbot, program, hand)
    assert isinstance(session.probe_place, OnRun)
    assert session.probe_place.run == run.id
    assert session.probe is not None
    assert session.probe.fed
    # 15 V less what a train of 1 A loses: all of it is under a volt here, since
    # 2 m of copper, 1 m of drop and 1 m of rail are below 0.5 Ω.
    assert 14.0 < float(read.removesuffix(" V")) < 15.0

    session.save_as(tmp_path / "oval.fwl")
    place = session.probe_place
    program.actions["new"].trigger()
    with qtbot.waitSignal(session.study_ready):
        program.filing.open(tmp_path / "oval.fwl")
    session.set_probe(place)
    assert program.card.volts.text() == read


def test_all_of_it_can_be_undone(qtbot: QtBot, program: Program, hand: Hand) -> None:
    draw_oval(hand)
    draw_power(hand)
    draw_drops(hand)
    steps = program.session.undo_stack.count()
    for _ in range(steps):
        program.actions["undo"].trigger()
    assert set(program.session.layout.parts) == {SETTINGS_ID}
    for _ in range(steps):
        program.actions["redo"].trigger()
    assert len(list(program.session.layout.of_kind(Drop))) == 3
    program.session.undo_stack.setClean()
