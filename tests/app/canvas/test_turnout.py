"""Turnouts on the plan: the blades as they lie, and a word where one is thrown."""

import pytest
from PySide6.QtGui import QPolygonF
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drawings.turnout import OPEN_GAUGES, TurnoutDrawing
from app.session.session import Session
from core.layout.edits.set import set_settings
from core.layout.parts import RunEnd
from tests.app.board import SIDING
from tests.app.canvas.mouse import Mouse
from tests.app.yard import TOE_M, TURNOUT, yard

HALF_MM = 16.5 / 2
"""Half the gauge of H0 (NMRA S-1.2: 16.5 mm)."""

OPEN_MM = 16.5 * OPEN_GAUGES


@pytest.fixture
def open_yard(session: Session, canvas: Canvas, qtbot: QtBot) -> Session:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(yard(), None)
    canvas.show_at(1000.0, 0.0, 0.5)
    return session


def drawing(canvas: Canvas) -> TurnoutDrawing:
    found = canvas.plan.parts[TURNOUT].drawing
    assert isinstance(found, TurnoutDrawing)
    return found


def tips(canvas: Canvas) -> list[float]:
    """Return how far left of the middle the two tips lie: through way, leg. [mm]"""
    blades: tuple[QPolygonF, ...] = drawing(canvas).blades
    return [blade.at(0).y() for blade in blades]


# Seen from the toe the siding leaves to the left: the blade of the straight way
# then belongs to the left stock rail, that of the siding to the right one.


def test_the_blade_of_the_straight_way_is_shut(
    open_yard: Session, canvas: Canvas
) -> None:
    assert tips(canvas) == pytest.approx([HALF_MM, -HALF_MM + OPEN_MM])


def test_a_thrown_turnout_has_its_blades_the_other_way(
    open_yard: Session, canvas: Canvas
) -> None:
    open_yard.throw([TURNOUT])
    assert tips(canvas) == pytest.approx([HALF_MM - OPEN_MM, -HALF_MM])
    open_yard.set_straight()
    assert tips(canvas) == pytest.approx([HALF_MM, -HALF_MM + OPEN_MM])


def test_a_turnout_that_opens_backward_has_its_blades_mirrored(
    session: Session, canvas: Canvas
) -> None:
    # Turned about its toe by half a turn, the leg drawn towards it: what was left
    # of the middle is right of it.
    turned = yard(opens="backward", leg=RunEnd(run=SIDING, end="end"))
    session.replace_layout(turned, None)
    assert tips(canvas)[0] == pytest.approx(-HALF_MM)


def test_a_thrown_turnout_says_so(open_yard: Session, canvas: Canvas) -> None:
    def word() -> str:
        (label,) = drawing(canvas).labels(canvas.look)
        return label.text

    before = word()
    open_yard.throw([TURNOUT])
    assert (before, word()) == ("T1 Yard", "T1 Yard · thrown")


def test_it_is_still_thrown_after_an_edit_and_a_change_of_scale(
    open_yard: Session, canvas: Canvas
) -> None:
    open_yard.throw([TURNOUT])
    open_yard.commit(set_settings(open_yard.layout, scale="N"))
    assert drawing(canvas).is_thrown


@pytest.mark.parametrize("tool", ["select", "probe"])
def test_a_double_click_on_the_symbol_throws_it(
    open_yard: Session, canvas: Canvas, mouse: Mouse, tool: str
) -> None:
    canvas.set_tool(tool)
    mouse.double(1000.0 * TOE_M + 40.0, 2.0)
    assert open_yard.thrown == (TURNOUT,)
