"""How a gate looks: edges, hinge, hatch; open is said in words too."""

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.canvas.drawings.make import make_drawing, survey
from app.canvas.drawings.opening import BEYOND_MM, OpeningDrawing
from app.canvas.look import Look
from app.canvas.scene import PlanScene
from app.session.theme import LIGHT
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Point
from tests.core.checks.gate import gate
from tests.core.network.test_openings import over

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


def test_it_shows_a_plug_where_a_bus_parts() -> None:
    # The bus runs 60 mm before the track; a square of 10 px at 1 px a millimetre.
    def inks(buses: str) -> list[str]:
        layout = over(buses)
        area = QRectF(1600.0 - 6.0, 40.0 - 6.0, 12.0, 12.0)
        image = QImage(12, 12, QImage.Format.Format_RGB32)
        image.fill(QColor("#808080"))
        painter = QPainter(image)
        painter.translate(-area.left(), -area.top())
        look = Look(LIGHT)
        look.px_per_mm = 1.0
        drawing(layout).paint(painter, look, area)
        painter.end()
        return [image.pixelColor(9, y).name() for y in (5, 7)]

    assert inks("plugs") == [LIGHT.paper] * 2
    assert inks("clear") != [LIGHT.paper] * 2


def test_a_bus_that_is_led_another_way_takes_its_plug_along(
    qapp: QApplication,
) -> None:
    layout = over("plugs")
    scene = PlanScene(Look(LIGHT))
    scene.rebuild(layout)
    before = scene.parts[LO1].drawing.bounds()
    way = ((0.0, -300.0), (1000.0, -40.0), (3900.0, -40.0))
    points = tuple(Point(x_mm=x, y_mm=y) for x, y in way)
    change = set_fields(layout, frozenset({PartId("B1")}), points=points)
    layout.apply(change)
    assert LO1 in scene.follow(change)
    # From 60 to 140 mm before the track: beyond the edge as drawn, of 90 mm.
    assert scene.parts[LO1].drawing.bounds().top() < before.top()


def test_it_is_hit_at_its_edges_and_not_between() -> None:
    shape = drawing(gate()).shape(1.0)
    assert shape.contains(QRectF(1599.0, 99.0, 2.0, 2.0))
    assert not shape.intersects(QRectF(1950.0, 50.0, 100.0, 100.0))
