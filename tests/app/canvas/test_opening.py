"""How a gate looks: edges, hinge, hatch; open is said in words too."""

import pytest
from PySide6.QtCore import QRectF

from app.canvas.drawings.make import make_drawing, survey
from app.canvas.drawings.opening import BEYOND_MM, OpeningDrawing
from core.layout.ids import PartId
from core.layout.layout import Layout
from tests.core.checks.gate import gate

LO1 = PartId("LO1")


def drawing(layout: Layout, *, is_open: bool = False) -> OpeningDrawing:
    around = survey(layout, frozenset({LO1}) if is_open else frozenset())
    made = make_drawing(layout, layout.parts[LO1], around)
    assert isinstance(made, OpeningDrawing)
    return made


def test_it_reaches_from_edge_to_edge_and_beyond_the_rails() -> None:
    # R1 lies at y = 100 mm; its edges are at 1.6 and 2.4 m.
    box = drawing(gate()).bounds()
    assert (box.left(), box.width()) == pytest.approx((1600.0, 800.0))
    assert (box.top(), box.height()) == pytest.approx(
        (100.0 - BEYOND_MM, 2.0 * BEYOND_MM)
    )


def test_it_is_hit_at_its_edges_and_not_between() -> None:
    shape = drawing(gate()).shape(1.0)
    assert shape.contains(QRectF(1599.0, 99.0, 2.0, 2.0))
    assert not shape.intersects(QRectF(1950.0, 50.0, 100.0, 100.0))
