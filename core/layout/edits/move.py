"""Move parts in plan, and things along their run or bus."""

from math import hypot
from typing import assert_never

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.attach import settle
from core.layout.edits.draft import Draft, needed, place_on
from core.layout.edits.join import part_loose_ends
from core.layout.edits.taps import keep_taps
from core.layout.edits.toe import move_toe
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Board,
    Booster,
    Bus,
    Carried,
    Crossing,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Opening,
    Part,
    Point,
    Settings,
    Strip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)

Sitting = Drop | Gap | Load
"""Things that sit at a place on a run."""


def move_parts(
    layout: Layout, ids: frozenset[PartId], dx_mm: float, dy_mm: float
) -> Change:
    """Return the change that shifts parts in plan.

    Bus ends stay attached and follow what they hang on; what hangs on a moved
    bus goes with it. Things that sit on a run slide along it, unless the run is
    moved too. Run ends that no longer meet are parted; a turnout whose leg was
    pulled off is taken away. A turntable and its bridge go together. Joints,
    turnouts and crossings go where their runs go.

    Raises
    ------
    EditError
        A part is not there, or would come to lie out of all limits.
    """
    return _move(layout, ids, (dx_mm, dy_mm), merge_key="")


def nudge_parts(
    layout: Layout, ids: frozenset[PartId], dx_mm: float, dy_mm: float
) -> Change:
    """Return the same as `move_parts`; nudges in a row count as one step."""
    key = "nudge " + " ".join(sorted(ids))
    return _move(layout, ids, (dx_mm, dy_mm), merge_key=key)


def move_along(layout: Layout, part_id: PartId, position_m: float) -> Change:
    """Return the change that puts what sits on a run elsewhere along it.

    A turnout takes its leg along.

    Raises
    ------
    EditError
        The part is not on a run, the place is off the run, or a turnout's leg
        leads back to it.
    """
    part = layout.parts.get(part_id)
    if isinstance(part, Turnout):
        return move_toe(layout, part_id, position_m)
    if not isinstance(part, Drop | Gap | Load):
        raise EditError(
            f"{part_id} does not sit on a track.",
            "Choose a drop, gap, train or turnout.",
        )
    on = place_on(layout, OnRun(run=part.on.run, position_m=position_m))
    draft = Draft(layout)
    draft.put(replace(part, on=on))
    return draft.change(f"Move {part_id}", f"along {part_id}")


def move_bus_point(layout: Layout, bus_id: PartId, index: int, to: Point) -> Change:
    """Return the change that puts one corner of a bus elsewhere.

    An attached end does not move: let go of it first.
    """
    bus = needed(layout, bus_id, Bus)
    if not 0 <= index < len(bus.points):
        raise EditError(
            f"Bus {bus_id} has no corner {index + 1}.", "Choose one that it has."
        )
    draft = Draft(layout)
    is_held = (index == 0 and bus.start) or (index == len(bus.points) - 1 and bus.end)
    if is_held:
        to = bus.points[index]
    points = (*bus.points[:index], to, *bus.points[index + 1 :])
    draft.put(replace(bus, points=points))
    keep_taps(draft, bus)
    settle(draft)
    return draft.change(f"Bend bus {bus_id}", f"corner {bus_id} {index}")


def insert_bus_point(layout: Layout, bus_id: PartId, at: Point) -> Change:
    """Return the change that gives a bus one more corner, between its neighbours."""
    bus = needed(layout, bus_id, Bus)
    index = _leg_of(bus, at)
    draft = Draft(layout)
    points = (*bus.points[:index], at, *bus.points[index:])
    draft.put(replace(bus, points=points))
    keep_taps(draft, bus)
    settle(draft)
    return draft.change(f"Add a corner to bus {bus_id}")


def remove_bus_point(layout: Layout, bus_id: PartId, index: int) -> Change:
    """Return the change that takes an inner corner of a bus away."""
    bus = needed(layout, bus_id, Bus)
    if not 0 < index < len(bus.points) - 1:
        raise EditError(
            f"Bus {bus_id} needs its two ends.", "Delete the whole bus instead."
        )
    draft = Draft(layout)
    points = (*bus.points[:index], *bus.points[index + 1 :])
    draft.put(replace(bus, points=points))
    keep_taps(draft, bus)
    settle(draft)
    return draft.change(f"Straighten bus {bus_id}")


def _move(
    layout: Layout, ids: frozenset[PartId], by: tuple[float, float], *, merge_key: str
) -> Change:
    draft = Draft(layout)
    missing = sorted(ids - layout.parts.keys())
    if missing:
        raise EditError(f"There is no part {missing[0]}.")
    ids = _with_bridges(layout, ids)
    moving = [part for part in layout.parts.values() if part.id in ids]
    for part in moving:
        if isinstance(part, Opening):
            _slide_opening(draft, part, by, ids)
        elif not (isinstance(part, Drop | Gap | Load | Turnout) and part.on.run in ids):
            _shift(draft, part, by)
    settle(draft, moved=ids)
    part_loose_ends(draft)
    tables = [part for part in moving if isinstance(part, Turntable)]
    if len(tables) == 1 and len(moving) == 2:
        moving = [*tables]
    label = f"Move {moving[0].id}" if len(moving) == 1 else f"Move {len(moving)} parts"
    return draft.change(label, merge_key)


def _with_bridges(layout: Layout, ids: frozenset[PartId]) -> frozenset[PartId]:
    """Return the parts that move, turntables with their bridges and the other way."""
    found = set(ids)
    for table in layout.of_kind(Turntable):
        if table.id in ids or table.bridge in ids:
            found |= {table.id, table.bridge}
    return frozenset(found)


def _shift(draft: Draft, part: Part, by: tuple[float, float]) -> None:
    dx, dy = by
    match part:
        case (
            TrackRun()
            | Turntable()
            | Booster()
            | Inline()
            | Strip()
            | Board()
            | Backdrop()
        ):
            draft.put(replace(part, x_mm=part.x_mm + dx, y_mm=part.y_mm + dy))
        case Bus():
            points = tuple(
                Point(x_mm=p.x_mm + dx, y_mm=p.y_mm + dy) for p in part.points
            )
            draft.put(replace(part, points=points))
        case Joist():
            draft.put(
                replace(
                    part,
                    x1_mm=part.x1_mm + dx,
                    y1_mm=part.y1_mm + dy,
                    x2_mm=part.x2_mm + dx,
                    y2_mm=part.y2_mm + dy,
                )
            )
        case Drop() | Gap() | Load():
            _slide(draft, part, by)
        case TrackJoint() | Turnout() | Crossing() | Opening() | Settings():
            pass  # they go where their runs go, or nowhere
        case _:
            assert_never(part)


def _slide(draft: Draft, part: Sitting, by: tuple[float, float]) -> None:
    run = draft.view.get(part.on.run, TrackRun)
    if run is None:
        return
    path = run_path(run)
    pose = path.at(part.on.position_m)
    near = path.nearest(pose.x_mm + by[0], pose.y_mm + by[1])
    draft.put(replace(part, on=OnRun(run=run.id, position_m=near.position_m)))


def _slide_opening(
    draft: Draft, opening: Opening, by: tuple[float, float], moved: frozenset[PartId]
) -> None:
    """Slide what an opening carries along runs that stay where they are."""

    def slid(carried: Carried) -> Carried:
        run = draft.view.get(carried.run, TrackRun)
        if run is None or carried.run in moved:
            return carried
        path = run_path(run)
        half = (carried.to_m - carried.from_m) / 2.0
        pose = path.at(carried.from_m + half)
        near = path.nearest(pose.x_mm + by[0], pose.y_mm + by[1]).position_m
        middle = min(max(near, half), path.length_m - half)
        return Carried(run=run.id, from_m=middle - half, to_m=middle + half)

    draft.put(replace(opening, carries=tuple(map(slid, opening.carries))))


def _leg_of(bus: Bus, at: Point) -> int:
    """Return between which corners a point lies: the index it would take."""

    def detour(i: int) -> float:
        here, there = bus.points[i - 1], bus.points[i]
        return (
            hypot(at.x_mm - here.x_mm, at.y_mm - here.y_mm)
            + hypot(at.x_mm - there.x_mm, at.y_mm - there.y_mm)
            - hypot(there.x_mm - here.x_mm, there.y_mm - here.y_mm)
        )

    return min(range(1, len(bus.points)), key=detour)
