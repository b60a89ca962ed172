"""While the zoom changes the plan is sketched: all of it, where it is, and anew."""

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from scipy.ndimage import binary_dilation

from app.canvas.canvas import Canvas
from app.canvas.scene import PlanScene
from app.session.session import Session
from app.session.theme import DARK, LIGHT, Theme
from core.layout.edits.remove import remove_parts
from core.layout.ids import PartId
from core.layout.parts import Drop, Load
from tests.bench.generate import club_layout

INKED = 40
"""Pixels that differ from the ground by more bear ink. [of 255]"""

NEAR_PX = 3
"""A stamp stands on whole pixels, and a wedge is drawn by its edge. [px]"""


def picture(canvas: Canvas) -> NDArray[np.int64]:
    QApplication.processEvents()
    image = canvas.viewport().grab().toImage()
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    bytes_ = np.frombuffer(image.constBits(), np.uint8)
    return bytes_.reshape(image.height(), image.width(), 4).astype(np.int64)


def ink(canvas: Canvas) -> NDArray[np.bool_]:
    """Return where anything is drawn on the ground."""
    shown = picture(canvas)
    scene = canvas.plan
    shut = [item for item in scene.items() if item.isVisible()]
    for item in shut:
        item.setVisible(False)
    sketch, scene.sketch = scene.sketch, lambda *_: None  # type: ignore[method-assign]
    ground = picture(canvas)
    scene.sketch = sketch  # type: ignore[method-assign]
    for item in shut:
        item.setVisible(True)
    found: NDArray[np.bool_] = np.abs(shown - ground).max(axis=2) > INKED
    return found


def share_near(of: NDArray[np.bool_], to: NDArray[np.bool_]) -> float:
    """Return how much of some ink lies near other ink. [1]"""
    near = binary_dilation(to, iterations=NEAR_PX)
    return float((of & near).sum() / of.sum())


def wait(qtbot: QtBot, session: Session, canvas: Canvas) -> None:
    qtbot.waitUntil(lambda: not session.is_studying and not canvas._heat.is_busy)


def be_rough(canvas: Canvas) -> None:
    """Have the plan drawn as while the zoom is changing, and stay so."""
    canvas._rest.stop()
    canvas._set_rough(rough=True)


@pytest.mark.parametrize(
    ("theme", "view"),
    [
        (LIGHT, "volts"),
        (DARK, "volts"),
        (LIGHT, "poles"),
        (DARK, "districts"),
        (LIGHT, None),
    ],
)
@pytest.mark.parametrize("zoom", [0.03, 0.07, 0.2])
def test_the_sketch_shows_what_the_items_show(
    *,
    qtbot: QtBot,
    session: Session,
    canvas: Canvas,
    monkeypatch: pytest.MonkeyPatch,
    theme: Theme,
    view: str | None,
    zoom: float,
) -> None:
    canvas.set_theme(theme)
    canvas.set_colouring(view)  # type: ignore[arg-type]
    session.replace_layout(club_layout(120), None)
    wait(qtbot, session, canvas)
    middle = canvas.plan.content().center()
    canvas.show_at(middle.x(), middle.y(), zoom)
    be_rough(canvas)
    sketched = ink(canvas)
    monkeypatch.setattr(PlanScene, "is_sketched", False)
    canvas.viewport().update()
    one_by_one = ink(canvas)
    assert one_by_one.sum() > 500
    # Both bars of a gap are one, and where a drop has dots, so has the sketch.
    assert share_near(one_by_one, sketched) > 0.985
    assert share_near(sketched, one_by_one) > 0.985


@pytest.mark.parametrize("is_train", [True, False])
def test_loads_are_seen_from_afar(
    qtbot: QtBot, session: Session, canvas: Canvas, *, is_train: bool
) -> None:
    session.replace_layout(club_layout(400), None)
    wait(qtbot, session, canvas)
    canvas.fit()
    canvas._on_rest()
    assert not canvas.plan.crowd.is_empty
    loads = session.layout.of_kind(Load)
    load = next(x for x in loads if (x.use == "train") == is_train)
    item = canvas.plan.parts[load.id]
    at = canvas.mapFromScene(item.drawing.bounds().center())
    around = np.s_[at.y() - 3 : at.y() + 4, at.x() - 3 : at.x() + 4]
    before = picture(canvas)
    session.commit(remove_parts(session.layout, frozenset((load.id,))))
    wait(qtbot, session, canvas)
    canvas._on_rest()
    assert np.abs(picture(canvas) - before)[around].max() > INKED


def test_an_edit_is_seen_in_the_next_sketch(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    session.replace_layout(club_layout(40), None)
    wait(qtbot, session, canvas)
    canvas.fit()
    be_rough(canvas)
    before = picture(canvas)
    drops = frozenset(drop.id for drop in session.layout.of_kind(Drop))
    session.commit(remove_parts(session.layout, drops))
    be_rough(canvas)
    canvas.viewport().update()
    bare = picture(canvas)
    assert (bare != before).any()
    session.undo_stack.undo()
    wait(qtbot, session, canvas)
    be_rough(canvas)
    canvas.viewport().update()
    assert np.array_equal(picture(canvas), before)


def test_what_is_selected_glows_in_the_sketch(
    qtbot: QtBot, session: Session, canvas: Canvas
) -> None:
    session.replace_layout(club_layout(40), None)
    wait(qtbot, session, canvas)
    canvas.fit()
    be_rough(canvas)
    before = picture(canvas)
    session.select((PartId("R1"),))
    canvas.viewport().update()
    assert (picture(canvas) != before).any()


def test_the_sketch_is_made_ready_while_all_is_still(
    qtbot: QtBot, session: Session, canvas: Canvas, monkeypatch: pytest.MonkeyPatch
) -> None:
    session.replace_layout(club_layout(400), None)
    wait(qtbot, session, canvas)
    canvas.fit()
    canvas._on_rest()
    qtbot.waitUntil(lambda: not canvas._slice.isActive())

    def ask(*_: object) -> None:
        raise AssertionError("it was asked for while a frame was painted")

    for kind in (Drop, Load):
        part = next(iter(session.layout.of_kind(kind)))
        drawing = canvas.plan.parts[part.id].drawing
        monkeypatch.setattr(type(drawing), "from_afar", ask)
    be_rough(canvas)
    picture(canvas)
