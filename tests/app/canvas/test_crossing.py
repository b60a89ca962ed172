"""Diamonds and slips on the plan: dead and live pieces, roads, and what is set."""

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drawings.crossing import CrossingDrawing
from app.session.session import Session
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.parts import Crossing
from tests.app.canvas.mouse import Mouse
from tests.core.network.cross import crossing, fed_across

X1 = PartId("X1")


def shown(
    session: Session, canvas: Canvas, qtbot: QtBot, made: Crossing, angle: float = 20.0
) -> CrossingDrawing:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(fed_across(made, angle_deg=angle), None)
    canvas.show_at(0.0, 0.0, 3.0)
    return drawing(canvas)


def drawing(canvas: Canvas) -> CrossingDrawing:
    found = canvas.plan.parts[X1].drawing
    assert isinstance(found, CrossingDrawing)
    return found


def test_the_pieces_stand_where_the_rails_meet(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    # HO at 20°: (g/2)·cot(10°) = 8.25 · 5.671 = 46.8 mm along the track, on its rail.
    pieces = shown(session, canvas, qtbot, crossing()).pieces
    sharp = sorted((p.at.x(), p.at.y()) for p in pieces if p.meeting.acute)
    assert sharp == [
        pytest.approx((-46.79, -8.25), abs=0.01),
        pytest.approx((46.79, 8.25), abs=0.01),
    ]


@pytest.mark.parametrize(
    ("frog", "obtuse", "dead"),
    [
        ("insulated", "joined", 4),
        ("switched", "joined", 0),
        ("switched", "dead", 2),
        ("uncut", "joined", 0),
    ],
)
def test_dead_pieces_are_told_from_live_ones(
    session: Session, canvas: Canvas, qtbot: QtBot, frog: str, obtuse: str, dead: int
) -> None:
    made = crossing(frog, obtuse=obtuse)  # type: ignore[arg-type]
    found = shown(session, canvas, qtbot, made)
    assert sum(p.is_dead for p in found.pieces) == dead
    theme = canvas.look.theme
    for piece in found.pieces:
        middle = piece.at
        if piece.meeting.acute:
            x = sum(piece.nose.at(i).x() for i in range(3)) / 3.0
            y = sum(piece.nose.at(i).y() for i in range(3)) / 3.0
            middle = QPointF(x, y)
        fill = theme.paper if piece.is_dead else theme.rail
        assert pixel(found, canvas, middle) == QColor(fill)


def pixel(found: CrossingDrawing, canvas: Canvas, at: QPointF) -> QColor:
    """Return what is painted at a place of the plan, at 3 px/mm."""
    image = QImage(11, 11, QImage.Format.Format_RGB32)
    image.fill(QColor("magenta"))
    painter = QPainter(image)
    painter.scale(3.0, 3.0)
    painter.translate(-at.x() + 5.5 / 3.0, -at.y() + 5.5 / 3.0)
    found.paint(painter, canvas.look, QRectF(-500, -500, 1000, 1000))
    painter.end()
    return image.pixelColor(5, 5)


@pytest.mark.parametrize(
    ("shape", "roads"), [("diamond", 0), ("single slip", 1), ("double slip", 2)]
)
def test_a_slip_shows_its_roads(
    session: Session, canvas: Canvas, qtbot: QtBot, shape: str, roads: int
) -> None:
    found = shown(session, canvas, qtbot, crossing("insulated", shape))  # type: ignore[arg-type]
    assert len(found.roads) == roads
    for road in found.roads:
        # It begins on one track and ends on the other: y = 0, and y = x·tan 20°.
        ends = [road[0], road[-1]]
        off = [(p.y_mm, p.y_mm - p.x_mm * 0.36397) for p in ends]
        assert min(abs(v) for v in off[0]) == pytest.approx(0.0, abs=1e-3)
        assert min(abs(v) for v in off[1]) == pytest.approx(0.0, abs=1e-3)
        # and lies on its own side of the middle.
        middle = road[len(road) // 2]
        assert abs(middle.y_mm - middle.x_mm * 0.17633) > 0.5


def test_the_road_of_a_left_slip_lies_left_of_the_first_track(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    found = shown(session, canvas, qtbot, crossing("insulated", "single slip"))
    ((first, *_, last),) = found.roads
    assert first.x_mm < 0.0 < last.x_mm
    assert last.y_mm > 0.0


def test_thrown_it_says_for_which_track(
    session: Session, canvas: Canvas, qtbot: QtBot, mouse: Mouse
) -> None:
    shown(session, canvas, qtbot, crossing("switched"))

    def word() -> str:
        (label,) = drawing(canvas).labels(canvas.look)
        return label.text

    assert word() == "X1"
    canvas.set_tool("select")
    mouse.double(0.0, 0.0)
    assert session.thrown == (X1,)
    assert word() == "X1 · set for Siding"
    assert drawing(canvas).is_thrown
    session.commit(set_fields(session.layout, frozenset({X1}), frog="insulated"))
    assert not list(session.thrown)  # a plain dead diamond has nothing to throw


def test_a_slip_is_thrown_on_from_way_to_way(
    session: Session, canvas: Canvas, qtbot: QtBot, mouse: Mouse
) -> None:
    shown(session, canvas, qtbot, crossing("switched", "double slip"))
    canvas.set_tool("select")

    def told() -> tuple[str, bool]:
        (label,) = drawing(canvas).labels(canvas.look)
        return label.text, bool(session.thrown)

    seen = [told()]
    for _ in range(4):
        mouse.double(0.0, 0.0)
        seen.append(told())
    assert seen == [
        ("X1", False),
        ("X1 · set for its left slip", True),
        ("X1 · set for Siding", True),
        ("X1 · set for its right slip", True),
        ("X1", False),
    ]


def test_the_road_that_is_set_lights_up(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    shown(session, canvas, qtbot, crossing("switched", "single slip"))
    session.throw([X1])
    way = drawing(canvas).way
    first, last = way.at(0), way.at(way.count() - 1)
    # From Main, left of the middle, over to Siding on its far side: 20° up.
    assert first.y() == pytest.approx(0.0, abs=1e-6)
    assert first.x() < 0.0 < last.x()
    assert last.y() == pytest.approx(last.x() * 0.36397, rel=1e-4)


def test_a_click_of_the_tool_lays_one_and_undo_takes_it_away(
    session: Session, canvas: Canvas, qtbot: QtBot, mouse: Mouse
) -> None:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(fed_across(None, angle_deg=20.0), None)
    canvas.show_at(0.0, 0.0, 3.0)
    canvas.set_tool("crossing")
    mouse.click(3.0, 2.0)
    assert [c.id for c in session.layout.of_kind(Crossing)] == [X1]
    assert session.selection == {X1}
    assert isinstance(drawing(canvas), CrossingDrawing)
    session.undo_stack.undo()
    assert not list(session.layout.of_kind(Crossing))
    assert X1 not in canvas.plan.parts


def test_it_is_hit_within_its_lozenge(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    shown(session, canvas, qtbot, crossing())
    assert canvas.plan.hit(0.0, 0.0) == X1
    assert canvas.plan.hit(200.0, 0.0) == "R1"
