"""Slide a turnout along its run; what hangs on its leg comes along."""

from math import cos, degrees, sin

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.clear import has_room, need_room
from core.layout.edits.cross import follow_tracks
from core.layout.edits.draft import Draft, heading_deg, needed, place_on
from core.layout.geometry import Pose, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackJoint, TrackRun, Turnout
from core.layout.queries import run_name


def move_toe(layout: Layout, turnout_id: PartId, position_m: float) -> Change:
    """Return the change that puts a turnout elsewhere on its run.

    The leg, and all track that is joined to it, is carried along and turned with
    the run, so that nothing comes apart.

    Raises
    ------
    EditError
        The place is off the run, or the leg leads back to it by another way; or a
        turnout that had room would have none there.
    """
    turnout = needed(layout, turnout_id, Turnout)
    draft = Draft(layout)
    slide_toe(draft, turnout, OnRun(run=turnout.on.run, position_m=position_m))
    if has_room(layout, turnout):
        need_room(draft.view, needed(draft.view, turnout_id, Turnout))
    return draft.change(f"Move turnout {turnout_id}", f"along {turnout_id}")


def slide_toe(draft: Draft, turnout: Turnout, on: OnRun) -> None:
    """Put a turnout elsewhere on its run in a draft, and carry its leg there.

    Raises
    ------
    EditError
        As `move_toe`; or it is another run.
    """
    on = place_on(draft.view, on)
    if on.run != turnout.on.run:
        raise EditError(
            f"{turnout.id} belongs to {run_name(draft.view, turnout.on.run)}.",
            "Delete it, and draw the leg from the other track.",
        )
    path = run_path(needed(draft.view, on.run, TrackRun))
    before, after = path.at(turnout.on.position_m), path.at(on.position_m)
    carried = hanging_on(draft.view, turnout)
    if on.run in carried:
        raise EditError(
            f"{run_name(draft.view, turnout.leg.run)} leads back to "
            f"{run_name(draft.view, on.run)}, so {turnout.id} cannot slide.",
            "Take the joint or turnout at its other end away first.",
        )
    for run_id in carried:
        run = needed(draft.view, run_id, TrackRun)
        draft.put(_carried(run, before, after))
    draft.put(replace(turnout, on=on))
    follow_tracks(draft)


def hanging_on(layout: Layout, turnout: Turnout) -> list[PartId]:
    """Return the runs that are joined to a leg, not counting its own turnout."""
    near: dict[PartId, list[PartId]] = {}
    for part in layout.parts.values():
        match part:
            case TrackJoint():
                pair = (part.a.run, part.b.run)
            case Turnout() if part.id != turnout.id:
                pair = (part.on.run, part.leg.run)
            case _:
                continue
        near.setdefault(pair[0], []).append(pair[1])
        near.setdefault(pair[1], []).append(pair[0])
    found = [turnout.leg.run]
    for run_id in found:
        found.extend(r for r in dict.fromkeys(near.get(run_id, [])) if r not in found)
    return found


def _carried(run: TrackRun, before: Pose, after: Pose) -> TrackRun:
    """Return a run as it lies when what was at one pose is at another."""
    turn = after.heading - before.heading
    dx, dy = run.x_mm - before.x_mm, run.y_mm - before.y_mm
    return replace(
        run,
        x_mm=after.x_mm + dx * cos(turn) - dy * sin(turn),
        y_mm=after.y_mm + dx * sin(turn) + dy * cos(turn),
        heading_deg=heading_deg(run.heading_deg + degrees(turn)),
    )
