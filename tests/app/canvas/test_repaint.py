"""What is painted bit by bit is what would be painted at once."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.item import PartItem
from app.session.session import Session
from app.session.views import View
from core.layout.change import Change
from core.layout.edits.add import add_booster
from core.layout.edits.move import move_along, move_parts
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Point
from core.layout.storage.read import read_layout
from tests.bench.generate import club_layout

SHADE = 64
"""Lines cut off at the edge of what is painted come out up to a quarter lighter or
darker, by Qt's own doing. A word or a line that was forgotten differs by far more.
"""

SAMPLES = sorted(
    path
    for path in (Path(__file__).parents[3] / "sample_layouts").glob("*.fwl")
    if path.stem.endswith("-faults")
)

Edit = Callable[[Layout], Change]


def ids(*names: str) -> frozenset[PartId]:
    return frozenset(PartId(name) for name in names)


EDITS: dict[str, Edit] = {
    "drop slid": lambda x: move_along(x, PartId("D3"), 0.4),
    "other wire": lambda x: set_fields(x, ids("B1"), wire="0.5mm2-c5"),
    "bus renamed": lambda x: set_fields(x, ids("B2"), name="Another name, a long one"),
    "bus laid apart": lambda x: set_fields(x, ids("B2"), lay="apart", spacing_mm=100.0),
    "track renamed": lambda x: set_fields(x, ids("R1"), name="Up"),
    "breaker moved": lambda x: move_parts(x, ids("CB1"), 90.0, -60.0),
    "booster volts": lambda x: set_fields(x, ids("PB1"), volts_v=12.0),
    "booster added": lambda x: add_booster(x, Point(x_mm=2000.0, y_mm=400.0)),
    "drop removed": lambda x: remove_parts(x, ids("D5")),
}


def on_screen(canvas: Canvas) -> NDArray[np.int64]:
    """Return what the window shows, without painting anything anew."""
    image = canvas.screen().grabWindow(int(canvas.winId())).toImage()
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    bytes_ = np.frombuffer(image.constBits(), np.uint8)
    return bytes_.reshape(image.height(), image.width(), 4).astype(np.int64)


def settle(qtbot: QtBot, session: Session, canvas: Canvas) -> None:
    """Wait for colours and findings, and until all words have their places."""
    heat, patience_ms = canvas._heat, 20_000
    qtbot.waitUntil(
        lambda: not session.is_studying and not heat.is_busy, timeout=patience_ms
    )
    canvas._on_rest()
    qtbot.waitUntil(lambda: not canvas._slice.isActive(), timeout=patience_ms)
    QApplication.processEvents()


@pytest.mark.parametrize("zoom", [0.12, 0.6])
def test_each_edit_leaves_what_painting_all_of_it_would_leave(
    qtbot: QtBot, session: Session, canvas: Canvas, zoom: float
) -> None:
    canvas.set_colouring("volts")
    session.replace_layout(club_layout(40), None)
    canvas.show_at(1500.0, 300.0, zoom)
    settle(qtbot, session, canvas)
    for name, edit in EDITS.items():
        session.commit(edit(session.layout))
        settle(qtbot, session, canvas)
        bit_by_bit = on_screen(canvas)
        canvas.viewport().update()
        QApplication.processEvents()
        assert np.abs(on_screen(canvas) - bit_by_bit).max() <= SHADE, name


def test_a_crowd_too_is_left_as_painting_all_of_it_would_leave_it(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    session.replace_layout(club_layout(400), None)
    canvas.fit()
    settle(qtbot, session, canvas)
    assert not canvas.plan.crowd.is_empty
    for name in ("drop slid", "drop removed"):
        before = on_screen(canvas)
        session.commit(EDITS[name](session.layout))
        settle(qtbot, session, canvas)
        bit_by_bit = on_screen(canvas)
        assert (bit_by_bit != before).any(), name
        canvas.viewport().update()
        QApplication.processEvents()
        assert np.abs(on_screen(canvas) - bit_by_bit).max() <= SHADE, name


@pytest.mark.parametrize("zoom", [0.06, 0.12, 0.6])
def test_panning_askew_leaves_what_painting_all_of_it_would_leave(
    qtbot: QtBot, session: Session, canvas: Canvas, zoom: float
) -> None:
    canvas.set_colouring("volts")
    session.replace_layout(club_layout(400), None)
    canvas.show_at(3000.0, 900.0, zoom)
    settle(qtbot, session, canvas)
    across, down = canvas.horizontalScrollBar(), canvas.verticalScrollBar()
    for x, y in ((24, 24), (-31, 17), (5, -40)):
        across.setValue(across.value() + x)
        down.setValue(down.value() + y)
        QApplication.processEvents()
    bit_by_bit = on_screen(canvas)
    canvas.viewport().update()
    QApplication.processEvents()
    assert np.abs(on_screen(canvas) - bit_by_bit).max() <= SHADE


def test_after_a_sketch_edits_are_painted_as_ever(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    session.replace_layout(club_layout(40), None)
    canvas.show_at(1500.0, 300.0, 0.2)
    settle(qtbot, session, canvas)
    canvas._set_rough(rough=True)
    canvas.zoom_about(canvas.viewport().rect().center(), 1.2)
    QApplication.processEvents()
    settle(qtbot, session, canvas)
    for name in ("drop slid", "breaker moved"):
        before = on_screen(canvas)
        session.commit(EDITS[name](session.layout))
        settle(qtbot, session, canvas)
        bit_by_bit = on_screen(canvas)
        assert (bit_by_bit != before).any(), name
        canvas.viewport().update()
        QApplication.processEvents()
        assert np.abs(on_screen(canvas) - bit_by_bit).max() <= SHADE, name


class Watched(PartItem):
    """Looks at the painter after each drawing."""

    left: ClassVar[set[str]] = set()

    def paint(self, painter: QPainter, *others: Any) -> None:
        world, hints = painter.worldTransform(), painter.renderHints()
        clip = painter.clipBoundingRect()
        super().paint(painter, *others)
        kept = (
            painter.worldTransform() == world
            and painter.renderHints() == hints
            and painter.clipBoundingRect() == clip
            and painter.brush().style() == Qt.BrushStyle.NoBrush
            and painter.opacity() == 1.0
        )
        if not kept:
            self.left.add(type(self.drawing).__name__)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("view", ["volts", "poles", "districts"])
def test_drawings_leave_the_painter_as_it_was(
    *,
    qtbot: QtBot,
    session: Session,
    canvas: Canvas,
    monkeypatch: pytest.MonkeyPatch,
    path: Path,
    view: View,
) -> None:
    # What one leaves behind the next would be painted with, beyond the clip even.
    monkeypatch.setattr("app.canvas.scene.PartItem", Watched)
    canvas.set_colouring(view)
    session.replace_layout(read_layout(path)[0], None)
    session.select(tuple(session.layout.parts))
    settle(qtbot, session, canvas)
    for zoom in (0.05, 0.3, 2.0):
        middle = canvas.plan.content().center()
        canvas.show_at(middle.x(), middle.y(), zoom)
        QApplication.processEvents()
    assert Watched.left == set()
