"""Place turntables and traversers, and bring their bridges to a stall."""

from math import degrees, radians
from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, heading_deg, needed
from core.layout.edits.pits import placed_bridge
from core.layout.edits.sides import other_side
from core.layout.geometry import Pose
from core.layout.ids import PartId, split_id
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Drop,
    End,
    Point,
    Straight,
    TrackRun,
    Turntable,
)
from core.layout.queries import kind_word
from core.layout.turntables import (
    Position,
    bridge_middle,
    half_of,
    is_swapping,
    out_pose,
    positions,
    standing_at,
    turns_round,
)

LEAST_ACROSS_MM = 20.0
"""Smaller pits are slips of the hand. [mm]"""


def add_turntable(
    layout: Layout,
    middle: Point,
    across_mm: float,
    bridge_deg: float = 0.0,
    *,
    form: Literal["turntable", "traverser"] = "turntable",
) -> Change:
    """Return the change that adds a pit with its bridge.

    Run ends that face the pit are its stalls. The ring is cut so that the poles
    change over when the bridge lies across the way it is drawn. A traverser's pit
    is as wide as long.

    Raises
    ------
    EditError
        The pit would be too small, or out of all limits.
    """
    if across_mm < LEAST_ACROSS_MM:
        raise EditError(
            "A pit needs a size.", "Drag from its middle to its edge, or type it."
        )
    draft = Draft(layout)
    heading = heading_deg(bridge_deg)
    name = f"{form.capitalize()} bridge"
    like = _last_run(layout)
    run = TrackRun(
        id=draft.new_id(PREFIXES["run"]),
        name=name,
        x_mm=middle.x_mm,
        y_mm=middle.y_mm,
        heading_deg=heading,
        pieces=(Straight(length_mm=across_mm),),
    )
    if like is not None:
        run = replace(run, rail=like.rail, level_mm=like.level_mm, joint=like.joint)
    pose = Pose(middle.x_mm, middle.y_mm, radians(heading))
    draft.put(placed_bridge(run, pose, across_mm))
    table = Turntable(
        id=draft.new_id(PREFIXES["turntable"]),
        form=form,
        x_mm=middle.x_mm,
        y_mm=middle.y_mm,
        across_mm=across_mm,
        travel_mm=across_mm,
        bridge=run.id,
        split_deg=heading % 180.0,
    )
    draft.put(table)
    return draft.change(f"Add {form} {table.id}")


def turn_bridge(
    layout: Layout, table_id: PartId, number: int, *, by: End | None = None
) -> Change:
    """Return the change that brings the bridge to a stall.

    Parameters
    ----------
    number : int
        Of the stall, from 1.
    by : End, optional
        Which end of the bridge comes to it. Left out: the one with the shorter way;
        where the bridge is there already, the other one.

    Notes
    -----
    A split ring changes the poles over on the way: then A comes to the other rail of
    the bridge, and its drops are written so. Turns in a row count as one step.

    Raises
    ------
    EditError
        There is no such stall, or the bridge cannot come to it so.
    """
    table = needed(layout, table_id, Turntable)
    ways = [p for p in positions(layout, table) if p.number == number]
    if by is not None:
        ways = [p for p in ways if p.by == by]
    if not ways:
        raise EditError(
            f"The bridge of {table_id} cannot come to stall {number} like that.",
            f"It has {len(table.stalls)} stalls."
            if table.stalls
            else "Draw track up to the edge of the pit, pointing at its middle.",
        )
    here = [p.by for p in standing_at(layout, table) if p.number == number]
    if by is None and len(ways) > 1 and here:
        ways = [p for p in ways if p.by not in here]
    before = bridge_middle(layout, table)
    assert before is not None, "positions need a bridge"
    poses = [_pose_at(layout, table, before, way) for way in ways]
    after = min(poses, key=lambda pose: _turn_deg(before, pose))
    return _brought(layout, table, before, after, number)


def next_stall(layout: Layout, table: Turntable) -> int | None:
    """Return the stall after the one where the bridge stands; None without stalls."""
    if not table.stalls:
        return None
    here = [p.number for p in standing_at(layout, table)]
    return here[0] % len(table.stalls) + 1 if here else 1


def to_next_stall(layout: Layout, table_id: PartId) -> Change:
    """Return the change that brings a bridge to the stall after the present one.

    Raises
    ------
    EditError
        There is no stall.
    """
    table = needed(layout, table_id, Turntable)
    return turn_bridge(layout, table_id, next_stall(layout, table) or 1)


def turn_round(layout: Layout, table_id: PartId) -> Change:
    """Return the change that turns the bridge end for end where it stands.

    Raises
    ------
    EditError
        It is a traverser, or has stops.
    """
    table = needed(layout, table_id, Turntable)
    before = bridge_middle(layout, table)
    if before is None or not turns_round(table):
        raise EditError(
            f"The bridge of {kind_word(table)} {table_id} cannot be turned round.",
            "Only a turntable without stops can.",
        )
    return _brought(layout, table, before, before.reversed(), None)


def _brought(
    layout: Layout, table: Turntable, before: Pose, after: Pose, number: int | None
) -> Change:
    draft = Draft(layout)
    run = needed(layout, table.bridge, TrackRun)
    heading = heading_deg(degrees(after.heading))
    turned = replace(run, heading_deg=heading)
    draft.put(placed_bridge(turned, after, table.across_mm))
    halves = [half_of(table, degrees(pose.heading)) for pose in (before, after)]
    if is_swapping(table) and halves[0] != halves[1]:
        for drop in list(layout.of_kind(Drop)):
            if drop.on.run == run.id:
                draft.put(replace(drop, a_rail=other_side(drop.a_rail)))
    where = "round" if number is None else f"to stall {number}"
    verb = "Turn" if table.form == "turntable" else "Bring"
    return draft.change(f"{verb} {table.id} {where}", f"turn {table.id}")


def _pose_at(layout: Layout, table: Turntable, now: Pose, way: Position) -> Pose:
    """Return where the middle of the bridge is, and how it lies, at a stall."""
    if table.form == "turntable":
        turned = way.angle_deg + (180.0 if way.by == "start" else 0.0)
        return Pose(table.x_mm, table.y_mm, radians(turned))
    stall = out_pose(layout, way.stall)
    assert stall is not None, "positions name runs that are there"
    axis = Pose(table.x_mm, table.y_mm, now.heading)
    x, y = axis.left(1.0)
    aside = (stall.x_mm - axis.x_mm) * (x - axis.x_mm) + (stall.y_mm - axis.y_mm) * (
        y - axis.y_mm
    )
    return Pose(*axis.left(aside), now.heading)


def _turn_deg(before: Pose, after: Pose) -> float:
    apart = degrees(after.heading - before.heading) % 360.0
    return round(min(apart, 360.0 - apart), 6)


def _last_run(layout: Layout) -> TrackRun | None:
    def number(run: TrackRun) -> int:
        split = split_id(run.id)
        return split[1] if split else 0

    return max(layout.of_kind(TrackRun), key=number, default=None)
