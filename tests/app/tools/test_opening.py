"""Opening: drag a box over the tracks, or a line across them; a double click opens."""

from app.tools.placing import span
from core.layout.ids import PartId
from core.layout.parts import Opening, Point
from core.layout.queries import can_be_thrown
from tests.core.checks.gate import gate
from tests.core.network.track import layout_of, run


def test_a_box_over_the_track_is_a_lift_out() -> None:
    layout = layout_of(run(1, 4.0))
    change = span.OPENING.make(layout, _at(1000.0, 50.0), _at(1800.0, 150.0))
    assert change is not None
    (part,) = change.after.values()
    assert isinstance(part, Opening)
    assert part.use == "lift-out"
    assert [(c.from_m, c.to_m) for c in part.carries] == [(1.0, 1.8)]


def test_a_line_across_it_is_a_board_joint() -> None:
    layout = layout_of(run(1, 4.0))
    change = span.OPENING.make(layout, _at(1000.0, 0.0), _at(1000.0, 200.0))
    assert change is not None
    (part,) = change.after.values()
    assert isinstance(part, Opening)
    assert part.use == "board joint"


def test_a_box_beside_the_track_makes_nothing() -> None:
    layout = layout_of(run(1, 4.0))
    assert span.OPENING.make(layout, _at(0.0, 500.0), _at(900.0, 900.0)) is None
    assert span.OPENING.make(layout, _at(0.0, 100.0), _at(4.0, 100.0)) is None


def test_a_gate_can_be_opened_but_no_board_joint() -> None:
    assert can_be_thrown(gate(), PartId("LO1"))
    joint = gate(changes={"LO1": {"use": "board joint"}})
    assert not can_be_thrown(joint, PartId("LO1"))


def _at(x_mm: float, y_mm: float) -> Point:
    return Point(x_mm=x_mm, y_mm=y_mm)
