"""Handles of the one selected part: where it can be taken hold of and pulled."""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from app.tools.pointer import Pointer
from app.tools.snapping.turns import on_turn, turn_of
from app.tools.snapping.wish import GRID, POWER, TRACK, Wish
from app.tools.steps import chain
from app.tools.wiring.attach import attachment_at
from core.layout.change import Change
from core.layout.edits.attach import connect
from core.layout.edits.move import insert_bus_point, move_bus_point, remove_bus_point
from core.layout.edits.set import set_fields
from core.layout.edits.toe import move_toe
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Board,
    Bus,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Point,
    Turnout,
)
from core.layout.queries import anchor, place_xy

REACH_PX = 7.0
"""A handle is hit from this far. [px]"""

LEAST_BOARD_MM = 10.0
"""No board is made smaller than this. [mm]"""

HandleKind = Literal["corner of bus", "lead", "place", "corner of board", "tip"]


@dataclass(frozen=True, slots=True)
class Handle:
    """A place on a part that can be pulled. [mm]"""

    part: PartId
    kind: HandleKind
    index: int
    x_mm: float
    y_mm: float


def handles_of(layout: Layout, selection: frozenset[PartId]) -> tuple[Handle, ...]:
    """Return the handles of a selection: only a single part has any."""
    if len(selection) != 1:
        return ()
    (part_id,) = selection
    part = layout.parts.get(part_id)
    match part:
        case Bus():
            places = [(p.x_mm, p.y_mm) for p in part.points]
            return _handles(part_id, "corner of bus", places)
        case Drop():
            hole = place_xy(layout, part.on)
            far = anchor(layout, part.to) if part.to is not None else None
            own = _handles(part_id, "place", [hole] if hole else [])
            return own + _handles(part_id, "lead", [far] if far else [])
        case Gap() | Load():
            hole = place_xy(layout, part.on)
            return _handles(part_id, "place", [hole] if hole else [])
        case Inline():
            far = anchor(layout, part.feed) if part.feed is not None else None
            return _handles(part_id, "lead", [far] if far else [])
        case Board():
            x0, y0 = part.x_mm, part.y_mm
            x1, y1 = x0 + part.width_mm, y0 + part.depth_mm
            corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
            return _handles(part_id, "corner of board", corners)
        case Joist():
            tips = [(part.x1_mm, part.y1_mm), (part.x2_mm, part.y2_mm)]
            return _handles(part_id, "tip", tips)
        case _:
            return ()


def handle_at(
    layout: Layout, selection: frozenset[PartId], at: Pointer
) -> Handle | None:
    """Return the handle under the pointer."""
    near = [
        (hypot(h.x_mm - at.x_mm, h.y_mm - at.y_mm), h)
        for h in handles_of(layout, selection)
    ]
    away, handle = min(near, key=lambda pair: pair[0], default=(0.0, None))
    return handle if away <= REACH_PX * at.mm_per_px else None


def handle_wish(layout: Layout, handle: Handle) -> Wish:
    """Return what a handle is pulled to while it is held."""
    match handle.kind:
        case "corner of bus":
            last = len(layout.need(handle.part, Bus).points) - 1
            skip = frozenset((handle.part,))
            if handle.index not in (0, last):
                return GRID
            port: Literal["in", "out"] = "in" if handle.index else "out"
            return Wish(kinds=POWER, skip=skip, grid=True, port=port)
        case "lead":
            return Wish(kinds=POWER, skip=frozenset((handle.part,)))
        case "place":
            return Wish(kinds=TRACK | {"joint"})
        case "corner of board" | "tip":
            return GRID


def pull_handle(layout: Layout, handle: Handle, at: Pointer) -> Change | None:
    """Return the change that puts a handle where the pointer is."""
    match handle.kind:
        case "corner of bus":
            return _pull_corner(layout, handle, at)
        case "lead":
            to = attachment_at(at)
            which: Literal["to", "feed"] = (
                "to" if layout.get(handle.part, Drop) else "feed"
            )
            return connect(layout, handle.part, which, to) if to else None
        case "place":
            on = on_turn(layout, at, turn_of(layout, handle.part)).snap.on
            return put_on(layout, handle.part, on) if isinstance(on, OnRun) else None
        case "corner of board":
            return _pull_board(layout, handle, at)
        case "tip":
            x, y = at.place
            names = ("x1_mm", "y1_mm") if handle.index == 0 else ("x2_mm", "y2_mm")
            ids = frozenset((handle.part,))
            return set_fields(layout, ids, **dict(zip(names, (x, y), strict=True)))


def put_on(layout: Layout, part_id: PartId, on: OnRun) -> Change:
    """Return the change that puts a thing that sits on track on another place."""
    if layout.get(part_id, Turnout) is not None:
        return move_toe(layout, part_id, on.position_m)
    ids = frozenset((part_id,))
    return chain(layout, f"Move {part_id}", lambda t: set_fields(t, ids, on=on))


def toggle_corner(layout: Layout, bus: PartId, at: Pointer) -> Change | None:
    """Return the change that takes the corner under the pointer out, or makes one."""
    handle = handle_at(layout, frozenset((bus,)), at)
    if handle is None:
        x, y = at.x_mm, at.y_mm
        return insert_bus_point(layout, bus, Point(x_mm=x, y_mm=y))
    last = len(layout.need(bus, Bus).points) - 1
    if handle.index in (0, last):
        return None
    return remove_bus_point(layout, bus, handle.index)


def _handles(
    part: PartId, kind: HandleKind, places: "list[tuple[float, float]]"
) -> tuple[Handle, ...]:
    return tuple(Handle(part, kind, i, x, y) for i, (x, y) in enumerate(places))


def _pull_corner(layout: Layout, handle: Handle, at: Pointer) -> Change:
    x, y = at.place
    bus = layout.need(handle.part, Bus)
    to = Point(x_mm=x, y_mm=y)
    label = f"Bend bus {bus.id}"
    last = len(bus.points) - 1
    if handle.index not in (0, last):
        return chain(
            layout, label, lambda t: move_bus_point(t, bus.id, handle.index, to)
        )
    end: Literal["start", "end"] = "end" if handle.index else "start"
    return chain(
        layout,
        label,
        lambda t: connect(t, bus.id, end, None),
        lambda t: move_bus_point(t, bus.id, handle.index, to),
        lambda t: connect(t, bus.id, end, attachment_at(at)),
    )


def _pull_board(layout: Layout, handle: Handle, at: Pointer) -> Change:
    board = layout.need(handle.part, Board)
    x, y = at.place
    opposite_x = board.x_mm + (board.width_mm if handle.index in (0, 3) else 0.0)
    opposite_y = board.y_mm + (board.depth_mm if handle.index in (0, 1) else 0.0)
    fields = {
        "x_mm": min(x, opposite_x),
        "y_mm": min(y, opposite_y),
        "width_mm": max(abs(x - opposite_x), LEAST_BOARD_MM),
        "depth_mm": max(abs(y - opposite_y), LEAST_BOARD_MM),
    }
    ids = frozenset((board.id,))
    return chain(layout, f"Resize {board.id}", lambda t: set_fields(t, ids, **fields))
