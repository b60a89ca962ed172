"""The scene keeps in step with the layout, and touches no more than it must."""

from collections import Counter

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QApplication, QGraphicsItem

from app.canvas.canvas import Canvas
from app.canvas.colouring import Colours, make_scale
from app.canvas.crowding import CROWD_FROM
from app.canvas.drawings.run import RunDrawing
from app.canvas.item import PartItem
from app.canvas.scene import PlanScene
from app.session.session import Session
from core.analysis.study import TrackValues
from core.layout.change import Change
from core.layout.edits.add import add_booster
from core.layout.edits.flip import flip_drop
from core.layout.edits.move import move_along, move_parts
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Board,
    Bus,
    Drop,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Straight,
    ToBus,
    TrackJoint,
    TrackRun,
)
from tests.app.board import board

R1, R2, B1, D1, D2 = (PartId(i) for i in ("R1", "R2", "B1", "D1", "D2"))


def run(run_id: str, y_mm: float, x_mm: float = 0.0) -> TrackRun:
    return TrackRun(
        id=PartId(run_id),
        x_mm=x_mm,
        y_mm=y_mm,
        heading_deg=0.0,
        pieces=(Straight(length_mm=2000.0),),
    )


PARTS: tuple[Part, ...] = (
    run("R1", 0.0),
    run("R2", 500.0),
    Bus(id=B1, points=(Point(x_mm=0.0, y_mm=200.0), Point(x_mm=2000.0, y_mm=200.0))),
    Drop(id=D1, on=OnRun(run=R1, position_m=0.5), to=ToBus(part=B1, position_m=0.5)),
    Drop(id=D2, on=OnRun(run=R2, position_m=1.0)),
)


@pytest.fixture
def plan(session: Session, canvas: Canvas) -> PlanScene:
    session.replace_layout(Layout({p.id: p for p in PARTS}), None)
    canvas.show_at(1000.0, 250.0, 0.4)
    return canvas.plan


def drawings(plan: PlanScene) -> dict[PartId, object]:
    return {i: item.drawing for i, item in plan.parts.items()}


def changed(plan: PlanScene, before: dict[PartId, object]) -> set[str]:
    now = drawings(plan)
    return {i for i in {*before, *now} if before.get(i) is not now.get(i)}


def test_there_is_one_item_a_part_and_none_for_the_settings(plan: PlanScene) -> None:
    assert set(plan.parts) == {p.id for p in PARTS}


def test_a_moved_drop_is_drawn_anew_and_nothing_else(
    session: Session, plan: PlanScene
) -> None:
    before = drawings(plan)
    session.commit(move_along(session.layout, D1, 0.8))
    assert changed(plan, before) == {"D1"}


def test_what_hangs_on_a_moved_bus_is_drawn_anew(
    session: Session, plan: PlanScene
) -> None:
    before = drawings(plan)
    session.commit(move_parts(session.layout, frozenset((B1,)), 0.0, 50.0))
    assert changed(plan, before) == {"B1", "D1"}


def test_a_flipped_drop_turns_the_rails_of_its_run_and_of_track_joined_to_it(
    session: Session, plan: PlanScene
) -> None:
    before = drawings(plan)
    session.commit(flip_drop(session.layout, D1))
    assert changed(plan, before) == {"D1", "R1"}
    joint = TrackJoint(
        id=PartId("J1"), a=RunEnd(run=R1, end="end"), b=RunEnd(run=R2, end="start")
    )
    session.commit(Change("Join", {joint.id: None}, {joint.id: joint}))
    before = drawings(plan)
    session.commit(flip_drop(session.layout, D1))
    assert {"R1", "R2"} <= changed(plan, before)


def test_a_removed_run_takes_its_drops_off_the_drawing_and_undo_brings_them_back(
    session: Session, plan: PlanScene
) -> None:
    session.commit(remove_parts(session.layout, frozenset((R1,))))
    assert set(plan.parts) == {"R2", "B1", "D2"}
    session.undo_stack.undo()
    assert set(plan.parts) == {p.id for p in PARTS}


def test_another_layout_leaves_nothing_of_the_one_before(
    session: Session, plan: PlanScene
) -> None:
    session.replace_layout(board(), None)
    assert set(plan.parts) == {"R1", "PB1", "D1", "D2"}
    items = [i for i in plan.items() if isinstance(i, PartItem)]
    assert len(items) == 4


def test_another_scale_draws_all_track_anew(session: Session, plan: PlanScene) -> None:
    before = drawings(plan)
    session.commit(set_settings(session.layout, scale="N"))
    assert {"R1", "R2", "D1", "D2"} <= changed(plan, before)
    assert plan.look.gauge_mm == 9.0


def colours(volts: dict[str, float]) -> dict[PartId, Colours]:
    scale = make_scale("volts", Settings(), 15.0)
    ends = np.array([0.0, 2.0])
    return {
        PartId(i): Colours(TrackValues(PartId(i), ends, np.array([v, v])), scale)
        for i, v in volts.items()
    }


def test_recolouring_touches_only_the_runs_whose_colours_change(
    plan: PlanScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    updated: Counter[str] = Counter()
    monkeypatch.setattr(
        PartItem, "update", lambda item, *_: updated.update([item.part_id])
    )
    assert plan.recolour(colours({"R1": 14.9, "R2": 14.9})) == 2
    updated.clear()
    # 14.9 and 14.89 V fall into the same of the 24 bins; 13 V does not.
    assert plan.recolour(colours({"R1": 14.89, "R2": 13.0})) == 1
    assert updated == {"R2": 1}
    assert plan.recolour(colours({"R1": 14.89, "R2": 13.0})) == 0
    assert plan.recolour(None) == 2


def test_colours_are_painted_together_once_all_are_ready(
    plan: PlanScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    updated: Counter[str] = Counter()
    monkeypatch.setattr(
        PartItem, "update", lambda item, *_: updated.update([item.part_id])
    )
    steps = plan.recolour_some(colours({"R1": 14.9, "R2": 14.9}))
    assert (next(steps), next(steps)) == (True, True)
    assert next(steps) is None
    assert not updated
    assert list(steps) == []
    assert set(updated) == {"R1", "R2"}


def test_colouring_that_is_left_off_paints_what_has_its_colours(
    plan: PlanScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    updated: Counter[str] = Counter()
    monkeypatch.setattr(
        PartItem, "update", lambda item, *_: updated.update([item.part_id])
    )
    steps = plan.recolour_some(colours({"R1": 14.9, "R2": 14.9}))
    next(steps)
    steps.close()
    coloured = {
        part_id
        for part_id, item in plan.parts.items()
        if isinstance(item.drawing, RunDrawing) and item.drawing.bins is not None
    }
    assert len(coloured) == 1
    assert set(updated) == coloured


def test_a_run_that_is_taken_out_while_track_is_coloured_is_left_out(
    session: Session, plan: PlanScene
) -> None:
    steps = plan.recolour_some(colours({"R1": 14.9, "R2": 14.9}))
    next(steps)
    session.commit(remove_parts(session.layout, frozenset({R1, R2})))
    assert list(steps) == [None]


def test_only_the_stretch_whose_colours_change_is_painted_again(
    plan: PlanScene, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan.recolour(colours({"R1": 14.9, "R2": 14.9}))
    areas: list[QRectF] = []
    monkeypatch.setattr(PartItem, "update_about", lambda _, area: areas.append(area))
    found = colours({"R1": 14.9, "R2": 14.9})
    # R2, at y 500: 12.9 V at its start and its end, 14.9 V from 0.3 to 1.5 m.
    places, volts = np.array([0.0, 0.3, 1.5, 2.0]), np.array([12.9, 14.9, 14.9, 12.9])
    bent = TrackValues(R2, places, volts)
    plan.recolour(found | {R2: Colours(bent, found[R2].scale)})
    assert [area.top() for area in areas] == [500.0, 500.0]
    first, last = areas
    assert (first.left(), last.right()) == (0.0, 2000.0)
    assert 100.0 < first.right() <= 300.0
    assert 1500.0 <= last.left() < 1700.0


def test_a_run_that_is_drawn_anew_keeps_its_colours(
    session: Session, plan: PlanScene
) -> None:
    plan.recolour(colours({"R1": 13.0, "R2": 14.9}))
    session.commit(set_fields(session.layout, frozenset((R1,)), name="Main"))
    drawing = plan.parts[R1].drawing
    assert isinstance(drawing, RunDrawing)
    assert drawing.bins is not None
    assert set(drawing.bins.tolist()) == {21}  # 13 V: 2/3 + 1/3 * 0.5 / 0.75


def test_the_topmost_part_is_hit(plan: PlanScene) -> None:
    assert plan.hit(500.0, 0.0) == "D1"  # its dot lies on the track
    assert plan.hit(800.0, 4.0) == "R1"
    assert plan.hit(800.0, 203.0) == "B1"
    assert plan.hit(800.0, 100.0) is None


def test_a_line_is_hit_from_five_pixels(plan: PlanScene) -> None:
    # 0.4 px/mm: five pixels and the half of the pair are about 18 mm.
    assert plan.hit(1200.0, 216.0) == "B1"
    assert plan.hit(1200.0, 222.0) is None


def test_a_board_is_hit_at_its_edge_only(session: Session, plan: PlanScene) -> None:
    part = Board(
        id=PartId("BD1"), x_mm=-100.0, y_mm=-100.0, width_mm=3000.0, depth_mm=900.0
    )
    session.commit(Change("Add", {part.id: None}, {part.id: part}))
    assert plan.hit(-100.0, 300.0) == "BD1"
    assert plan.hit(800.0, 100.0) is None


def test_a_box_takes_what_lies_inside_or_what_it_touches(plan: PlanScene) -> None:
    area = QRectF(400.0, -50.0, 300.0, 400.0)
    assert plan.parts_in(area, touch=False) == {"D1"}
    assert plan.parts_in(area, touch=True) == {"D1", "R1", "B1"}


def test_what_is_selected_is_lit_and_no_more(session: Session, plan: PlanScene) -> None:
    session.select((R1, D1))
    assert {i for i, item in plan.parts.items() if item.is_lit} == {"R1", "D1"}
    session.select((D1,))
    assert {i for i, item in plan.parts.items() if item.is_lit} == {"D1"}


def lay_many_runs(session: Session, count: int) -> None:
    parts = [run(f"R{i}", 150.0 * (i // 20), 2100.0 * (i % 20)) for i in range(count)]
    session.replace_layout(Layout({p.id: p for p in parts}), None)


def test_a_pan_paints_only_what_it_uncovers(
    session: Session, canvas: Canvas, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay_many_runs(session, 400)
    canvas.show_at(20000.0, 1500.0, 0.25)  # 5 runs wide, some 20 rows high
    painted: Counter[str] = Counter()
    paint = PartItem.paint

    def counted(item: PartItem, *args: object) -> None:
        painted.update([item.part_id])
        paint(item, *args)  # type: ignore[arg-type]

    monkeypatch.setattr(PartItem, "paint", counted)
    QApplication.processEvents()
    painted.clear()
    canvas.viewport().repaint()
    in_view = len(painted)
    painted.clear()
    bar = canvas.horizontalScrollBar()
    bar.setValue(bar.value() + 8)
    QApplication.processEvents()
    assert in_view >= 60
    # A strip 8 px wide on the right: one column of runs of the three in view.
    assert 0 < len(painted) <= 0.4 * in_view
    assert max(painted.values()) == 1


@pytest.mark.parametrize("zoom", [0.13, 0.4, 3.0])
def test_items_have_room_for_their_words(
    session: Session, plan: PlanScene, canvas: Canvas, zoom: float
) -> None:
    at = Point(x_mm=1500.0, y_mm=-300.0)
    session.commit(add_booster(session.layout, at, name="A long name for one box"))
    canvas.show_at(1000.0, 250.0, zoom)
    list(plan.place_labels(plan.content()))
    found = 0
    for item in plan.parts.values():
        for label, spot in zip(item.labels, item._placed, strict=True):
            if spot is None:
                continue
            width, height = (side / zoom for side in label.size(plan.look))
            # Spots are in pixels to the right and down; the plan's y goes up.
            x, y = label.at.x() + spot[0] / zoom, label.at.y() - spot[1] / zoom
            word = QRectF(x - 0.5 * width, y - 0.5 * height, width, height)
            assert item.boundingRect().contains(word)
            found += 1
    assert found >= 2


def test_things_without_words_take_little_room(plan: PlanScene, canvas: Canvas) -> None:
    # The ids of drops show from 0.11 px/mm on. A wide room would have half of the
    # plan painted again with every drop that is touched.
    canvas.show_at(1000.0, 250.0, 0.1)
    list(plan.place_labels(plan.content()))
    item = plan.parts[D2]
    assert item.labels == ()
    wide = item.boundingRect().width() - item.drawing.bounds().width()
    assert wide * 0.1 < 150.0


def is_crowded(canvas: Canvas) -> bool:
    return not canvas.plan.crowd.is_empty


def test_from_afar_many_small_things_are_drawn_as_a_crowd_and_hit_all_the_same(
    session: Session, canvas: Canvas
) -> None:
    drops = [
        Drop(id=PartId(f"D{i}"), on=OnRun(run=R1, position_m=0.002 * i))
        for i in range(1, CROWD_FROM + 50)
    ]
    parts: list[Part] = [run("R1", 0.0), *drops]
    session.replace_layout(Layout({p.id: p for p in parts}), None)
    canvas.show_at(1000.0, 0.0, 0.1)
    canvas.plan.settle(canvas.viewport().size())
    no_contents = QGraphicsItem.GraphicsItemFlag.ItemHasNoContents
    item = canvas.plan.parts[PartId("D400")]
    assert is_crowded(canvas)
    assert item.flags() & no_contents
    assert str(canvas.plan.hit(800.0, -25.0)).startswith("D")
    session.select((PartId("D400"),))
    assert not item.flags() & no_contents
    session.select(())
    canvas.show_at(1000.0, 0.0, 5.0)
    assert not is_crowded(canvas)
    assert not item.flags() & no_contents


def test_few_things_are_never_a_crowd(plan: PlanScene, canvas: Canvas) -> None:
    canvas.show_at(0.0, 0.0, 0.02)
    plan.settle(canvas.viewport().size())
    assert plan.crowd.is_empty
