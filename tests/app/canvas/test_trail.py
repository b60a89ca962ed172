"""A finding's way on the plan: its line, its sign, its cuts, and how it goes again."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drawings.turnout import TurnoutDrawing
from app.canvas.over.trail import Shown
from app.session.session import Session
from core.checks.trail import Trail
from core.layout.edits.set import set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop
from tests.app.board import board
from tests.app.yard import GAP, yard
from tests.core.analysis.feeds import bus, drop, feed, supply, track
from tests.core.network.track import balloon, layout_of

HALF_MM = 16.5 / 2
"""Half the gauge of H0 (NMRA S-1.2: 16.5 mm)."""


@pytest.fixture
def opened(session: Session, canvas: Canvas, qtbot: QtBot) -> "Opened":
    return Opened(session, canvas, qtbot)


class Opened:
    """Opens layouts, and shows the trail of one of their findings."""

    def __init__(self, session: Session, canvas: Canvas, qtbot: QtBot) -> None:
        self.session, self.canvas, self._qtbot = session, canvas, qtbot

    def show(self, layout: Layout, code: str) -> Shown:
        with self._qtbot.waitSignal(self.session.study_ready):
            self.session.replace_layout(layout, None)
        heat = self.canvas._heat
        self._qtbot.waitUntil(lambda: not heat.is_busy)
        self.canvas.show_trail(self.trail(code))
        shown = self.canvas.trail
        assert shown is not None
        return shown

    def trail(self, code: str) -> Trail:
        assert self.session.result is not None
        found = next(f for f in self.session.result.findings if f.code == code)
        assert found.trail is not None
        return found.trail


def crossed() -> Layout:
    """Return the board with its second drop's wires swapped."""
    layout = board()
    turned = replace(layout.need(PartId("D2"), Drop), a_rail="right")
    return Layout({**layout.parts, turned.id: turned})


def test_a_short_is_drawn_down_one_drop_along_a_rail_and_up_the_other(
    opened: Opened,
) -> None:
    # The board: drops at 0.5 and 2.5 m go to the booster at (1500, -200).
    shown = opened.show(crossed(), "W103")
    places = [(round(x), round(y, 2)) for x, y, _, _ in shown.points]
    assert {places[0], places[-1]} == {(1500, -200.0)}
    assert {(500, 0.0), (2500, 0.0)} <= set(places)
    rails = {abs(y) for x, y in places if 500 < x < 2500 and y > -100.0}
    assert rails == {HALF_MM}
    assert shown.ends == ("A", "B")
    assert shown.word == "A meets B · 3 hops"
    assert shown.meets == pytest.approx((1500.0, 0.0))


def test_out_and_back_on_one_bus_lie_side_by_side(opened: Opened) -> None:
    turned = replace(drop(2, 3.0, 3.0), a_rail="right")
    parts = (supply(), bus(1, 4.0), track(4.0, piece_m=50.0))
    shown = opened.show(layout_of(*parts, drop(1, 1.0, 1.0), turned), "W103")
    # Along the bus, out to the right and back to the left: each on its own left.
    along = [ay for x, y, _, ay in shown.points if y == -500.0 and 0.0 < x < 1000.0]
    ends = [ay for x, y, ax, ay in shown.points if y == -500.0 and ax == 0.0]
    assert {round(ay) for ay in (*along, *ends)} == {1, -1}


def test_the_whole_way_comes_into_view(opened: Opened) -> None:
    opened.canvas.show_at(-9000.0, 0.0, 0.5)
    shown = opened.show(crossed(), "W103")
    port = opened.canvas.viewport().rect()
    for x, y, _, _ in shown.points:
        assert port.contains(opened.canvas.mapFromScene(x, y))


def test_a_loop_is_drawn_round_with_the_cuts_that_would_mend_it(
    opened: Opened,
) -> None:
    shown = opened.show(balloon(supply(), feed(1, 0.5)), "W111")
    xs = [x for x, _, _, _ in shown.points]
    assert (min(xs), max(xs)) == (2000.0, 5000.0)
    assert [(round(p.x_mm), word) for p, word in shown.cuts] == [
        (2300, "cut here"),
        (4700, "cut here"),
    ]
    # Where the poles truly meet: half the loop's resistance from the turnout, and a
    # little more for the joiner that closes it.
    assert shown.meets == pytest.approx((3533.0, 100.0), abs=1.0)
    assert shown.word == "left meets right · 1 hop"
    # Its turnout as it must lie for a train to go round.
    (ghost,) = shown.ghosts
    assert isinstance(ghost, TurnoutDrawing)
    assert ghost.is_thrown


def test_what_lies_right_already_has_no_ghost(opened: Opened) -> None:
    layout = yard(heel_gaps=False, lead_m=0.2)
    parts = {i: part for i, part in layout.parts.items() if i != GAP}
    assert len(opened.show(Layout(parts), "W115").ghosts) == 1
    trail = opened.trail("W115")
    opened.session.throw(trail.to_throw(frozenset()))
    assert trail.to_throw(frozenset(opened.session.thrown)) == ()
    opened.canvas.show_trail(trail)
    assert opened.canvas.trail is not None
    assert opened.canvas.trail.ghosts == ()


def test_escape_takes_it_away(opened: Opened) -> None:
    opened.show(crossed(), "W103")
    QTest.keyClick(opened.canvas, Qt.Key.Key_Escape)
    assert opened.canvas.trail is None


def test_escape_leaves_what_is_under_way_first(opened: Opened) -> None:
    opened.show(crossed(), "W103")
    tool = opened.canvas.tool
    QTest.keyClick(opened.canvas, Qt.Key.Key_Escape)
    assert opened.canvas.tool == tool  # the tool stays in the hand


def test_choosing_something_else_takes_it_away(opened: Opened) -> None:
    opened.show(crossed(), "W103")
    opened.session.select((PartId("D1"),))
    assert opened.canvas.trail is None


def test_a_change_of_the_layout_takes_it_away(opened: Opened) -> None:
    opened.show(crossed(), "W103")
    opened.session.commit(set_settings(opened.session.layout, title="Other"))
    assert opened.canvas.trail is None


def test_it_is_painted_with_its_sign_and_nothing_is_painted_without(
    opened: Opened,
) -> None:
    opened.show(balloon(supply(), feed(1, 0.5)), "W111")
    colour = opened.canvas.look.theme.preview

    def is_painted() -> bool:
        image = opened.canvas.grab().toImage()
        return any(
            image.pixelColor(x, y).name() == colour
            for x in range(0, image.width(), 2)
            for y in range(0, image.height(), 2)
        )

    assert is_painted()
    opened.canvas.show_trail(None)
    assert not is_painted()
