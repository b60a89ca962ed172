"""Change the shape of track: extend, cut short, split, turn round."""

from collections.abc import Callable
from functools import partial
from math import degrees
from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, heading_deg, needed, place_on
from core.layout.edits.join import is_free, part_loose_ends
from core.layout.edits.pits import refuse_bridge
from core.layout.edits.sides import other_side
from core.layout.edits.stretches import (
    clipped_openings,
    cut_short,
    remake_stretches,
    shifted,
    split_at,
    turned_round,
)
from core.layout.geometry import piece_length_mm, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Arc,
    Crossing,
    Drop,
    End,
    Gap,
    Load,
    OnRun,
    Piece,
    RunEnd,
    Sides,
    Straight,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import level_mm_at

LEAST_PIECE_MM = 1e-6
"""Shorter pieces are not worth a line. [mm]"""

Sitting = Drop | Gap | Load | Turnout
"""Everything that has a place on a run."""


def extend_run(
    layout: Layout, run_id: PartId, pieces: tuple[Piece, ...], *, at: End = "end"
) -> Change:
    """Return the change that makes a track longer at one end.

    Pieces are given as walked away from the run. Added before the start, they
    shift the position of everything on it, so that nothing moves in plan.

    Raises
    ------
    EditError
        That end is joined to other track, or there is nothing to add.
    """
    run = needed(layout, run_id, TrackRun)
    _need_pieces(pieces)
    if not is_free(layout, RunEnd(run=run_id, end=at)):
        raise EditError(
            f"The {at} of {run.name or run_id} is joined to other track.",
            "Take that joint away first.",
        )
    draft = Draft(layout)
    if at == "end":
        draft.put(replace(run, pieces=(*run.pieces, *pieces)))
    else:
        _extend_start(draft, run, pieces)
    return draft.change(f"Extend {run.name or run_id}")


def set_pieces(layout: Layout, run_id: PartId, pieces: tuple[Piece, ...]) -> Change:
    """Return the change that gives a track another shape from its start.

    Drops and trains beyond the new end come to its end; gaps and turnouts there
    go; joints whose ends no longer meet are parted. A bridge is refused.
    """
    run = needed(layout, run_id, TrackRun)
    refuse_bridge(layout, run_id)
    _need_pieces(pieces)
    draft = Draft(layout)
    length = run_path(draft.put(replace(run, pieces=pieces))).length_m
    for part in _sitting_on(draft, run_id):
        if part.on.position_m <= length:
            continue
        if isinstance(part, Drop | Load):
            _place(draft, part, OnRun(run=run_id, position_m=length))
        else:
            draft.take_out(part.id)
    _slide_crossings(draft, run_id, lambda position: min(position, length))
    remake_stretches(draft, run_id, cut_short(length))
    part_loose_ends(draft)
    return draft.change(f"Reshape {run.name or run_id}", f"pieces {run_id}")


def shortened(run: TrackRun, by_mm: float) -> tuple[Piece, ...]:
    """Return the pieces of a track that is cut off at its end; () if none is left."""
    length = sum(piece_length_mm(piece) for piece in run.pieces)
    return _cut(run.pieces, length - by_mm)[0] if by_mm < length else ()


def insert_pieces(
    layout: Layout, run_id: PartId, index: int, pieces: tuple[Piece, ...]
) -> Change:
    """Return the change that puts pieces in before the piece of that number.

    The start stays; everything beyond moves with its track, and what sits there
    stays on its piece. Ends that no longer meet are parted, and turnouts beyond
    from legs that stay behind.

    Raises
    ------
    EditError
        There is no such place in the run, nothing to put in, or it is a bridge.
    """
    run = needed(layout, run_id, TrackRun)
    refuse_bridge(layout, run_id)
    _need_pieces(pieces)
    if not 0 <= index <= len(run.pieces):
        raise EditError(
            f"{run.name or run_id} has {len(run.pieces)} pieces; "
            f"nothing can go before number {index + 1}.",
            "Choose a place between two of its pieces.",
        )
    draft = Draft(layout)
    new = draft.put(
        replace(run, pieces=(*run.pieces[:index], *pieces, *run.pieces[index:]))
    )
    length = run_path(new).length_m
    cut = sum(piece_length_mm(p) for p in run.pieces[:index]) / 1000.0
    added = sum(piece_length_mm(p) for p in pieces) / 1000.0
    for part in _sitting_on(draft, run_id):
        if part.on.position_m > cut:
            position = min(part.on.position_m + added, length)
            _place(draft, part, OnRun(run=run_id, position_m=position))
    _slide_crossings(draft, run_id, lambda p: min(p + added, length) if p > cut else p)
    remake_stretches(draft, run_id, shifted(added, length, beyond_m=cut))
    part_loose_ends(draft)
    return draft.change(f"Put pieces into {run.name or run_id}")


def split_run(layout: Layout, on: OnRun) -> Change:
    """Return the change that cuts a track in two tracks joined by a plain joint.

    The first keeps the id; rail joints of the second are counted from the cut.

    Raises
    ------
    EditError
        The place is at an end, or the run is the bridge of a turntable.
    """
    on = place_on(layout, on)
    refuse_bridge(layout, on.run)
    run = needed(layout, on.run, TrackRun)
    first, second = _cut(run.pieces, on.position_m * 1000.0)
    if not first or not second:
        raise EditError(
            f"{run.name or run.id} cannot be split at its end.",
            "Choose a place inside the track.",
        )
    draft = Draft(layout)
    pose = run_path(run).at(on.position_m)
    new = replace(
        run,
        id=draft.new_id(PREFIXES["run"]),
        name=f"{run.name[:190]} (2)" if run.name else "",
        x_mm=pose.x_mm,
        y_mm=pose.y_mm,
        heading_deg=heading_deg(degrees(pose.heading)),
        pieces=second,
        level_mm=level_mm_at(run, on.position_m),
    )
    draft.put(new)
    _hand_over(draft, run, new, on.position_m)
    climbs = run.level_end_mm is not None
    run = draft.put(
        replace(run, pieces=first, level_end_mm=new.level_mm if climbs else None)
    )
    _hold_inside(draft, run, new)
    draft.put(
        TrackJoint(
            id=draft.new_id(PREFIXES["joint"]),
            a=RunEnd(run=run.id, end="end"),
            b=RunEnd(run=new.id, end="start"),
            joint=run.joint,
        )
    )
    return draft.change(f"Split {run.name or run.id}")


def reverse_run(layout: Layout, run_id: PartId) -> Change:
    """Return the change that draws a track the other way round.

    Everything stays where it is in plan and on the same rail; left and right,
    start and end swap names. Rail joints are counted from the new start.
    """
    run = needed(layout, run_id, TrackRun)
    path = run_path(run)
    start = path.end.reversed()
    draft = Draft(layout)
    draft.put(
        replace(
            run,
            x_mm=start.x_mm,
            y_mm=start.y_mm,
            heading_deg=heading_deg(degrees(start.heading)),
            pieces=tuple(_turned(p) for p in reversed(run.pieces)),
            level_mm=run.level_mm if run.level_end_mm is None else run.level_end_mm,
            level_end_mm=None if run.level_end_mm is None else run.level_mm,
        )
    )
    for part in _sitting_on(draft, run_id):
        position = min(max(path.length_m - part.on.position_m, 0.0), path.length_m)
        _place(draft, _swapped(part), OnRun(run=run_id, position_m=position))
    _turn_crossings(draft, run_id)
    _slide_crossings(
        draft,
        run_id,
        lambda p: min(max(path.length_m - p, 0.0), path.length_m),
    )
    remake_stretches(draft, run_id, turned_round(path.length_m))
    _swap_ends(draft, run_id)
    return draft.change(f"Turn {run.name or run_id} round")


def _extend_start(draft: Draft, run: TrackRun, pieces: tuple[Piece, ...]) -> None:
    back = run_path(run).start.reversed()
    away = TrackRun(
        id=run.id,
        x_mm=back.x_mm,
        y_mm=back.y_mm,
        heading_deg=heading_deg(degrees(back.heading)),
        pieces=pieces,
    )
    start = run_path(away).end.reversed()
    added = run_path(away).length_m
    before = tuple(_turned(p) for p in reversed(pieces))
    draft.put(
        replace(
            run,
            x_mm=start.x_mm,
            y_mm=start.y_mm,
            heading_deg=heading_deg(degrees(start.heading)),
            pieces=(*before, *run.pieces),
        )
    )
    for part in _sitting_on(draft, run.id):
        _place(draft, part, OnRun(run=run.id, position_m=part.on.position_m + added))
    _slide_crossings(draft, run.id, lambda position: position + added)
    length = run_path(needed(draft.view, run.id, TrackRun)).length_m
    remake_stretches(draft, run.id, shifted(added, length, beyond_m=-1.0))
    _hold_inside(draft, needed(draft.view, run.id, TrackRun))


def _hand_over(draft: Draft, run: TrackRun, new: TrackRun, cut_m: float) -> None:
    for part in _sitting_on(draft, run.id):
        if part.on.position_m > cut_m:
            on = OnRun(run=new.id, position_m=part.on.position_m - cut_m)
            _place(draft, part, on)
    _move_crossings(
        draft,
        run.id,
        lambda on: (
            on
            if on.position_m <= cut_m
            else OnRun(run=new.id, position_m=on.position_m - cut_m)
        ),
    )
    remake_stretches(draft, run.id, split_at(cut_m, new.id, run_path(new).length_m))
    old_end, new_end = (RunEnd(run=r.id, end="end") for r in (run, new))
    for joint in list(draft.view.of_kind(TrackJoint)):
        a, b = (new_end if e == old_end else e for e in (joint.a, joint.b))
        draft.put(replace(joint, a=a, b=b))
    for turnout in list(draft.view.of_kind(Turnout)):
        if turnout.leg == old_end:
            draft.put(replace(turnout, leg=new_end))
    for table in list(draft.view.of_kind(Turntable)):
        if old_end in table.stalls:
            stalls = tuple(new_end if e == old_end else e for e in table.stalls)
            draft.put(replace(table, stalls=stalls))


def _hold_inside(draft: Draft, *runs: TrackRun) -> None:
    """Bring what lies a rounding error beyond an end back to it."""
    for run in runs:
        length = run_path(run).length_m
        for part in _sitting_on(draft, run.id):
            if part.on.position_m > length:
                _place(draft, part, OnRun(run=run.id, position_m=length))
        _slide_crossings(draft, run.id, partial(min, length))
        clipped_openings(draft, run.id, length)


def _slide_crossings(
    draft: Draft, run_id: PartId, moved: Callable[[float], float]
) -> None:
    """Put crossings elsewhere on a run: `moved` gives the new position of an old."""
    _move_crossings(
        draft,
        run_id,
        lambda on: OnRun(run=run_id, position_m=moved(on.position_m)),
    )


def _move_crossings(
    draft: Draft, run_id: PartId, moved: Callable[[OnRun], OnRun]
) -> None:
    """Give the places that crossings have on a run another address."""
    for crossing in list(draft.view.of_kind(Crossing)):
        a, b = (
            moved(on) if on.run == run_id else on for on in (crossing.a, crossing.b)
        )
        if (a, b) != (crossing.a, crossing.b):
            draft.put(replace(crossing, a=a, b=b))


def _turn_crossings(draft: Draft, run_id: PartId) -> None:
    """Name the side of a slip road anew, where its first run is turned round."""
    for crossing in list(draft.view.of_kind(Crossing)):
        if crossing.a.run == run_id:
            draft.put(replace(crossing, side=other_side(crossing.side)))


def _swap_ends(draft: Draft, run_id: PartId) -> None:
    def turned(end: RunEnd) -> RunEnd:
        if end.run != run_id:
            return end
        return RunEnd(run=run_id, end="start" if end.end == "end" else "end")

    for joint in list(draft.view.of_kind(TrackJoint)):
        if run_id in (joint.a.run, joint.b.run):
            insulated = joint.insulated
            if joint.a.run == run_id:
                insulated = _other_sides(insulated)
            draft.put(
                replace(
                    joint,
                    a=turned(joint.a),
                    b=turned(joint.b),
                    insulated=insulated,
                )
            )
    for turnout in list(draft.view.of_kind(Turnout)):
        if turnout.leg.run == run_id:
            draft.put(
                replace(
                    turnout,
                    leg=turned(turnout.leg),
                    leg_insulated=_other_sides(turnout.leg_insulated),
                )
            )
    for table in list(draft.view.of_kind(Turntable)):
        if any(end.run == run_id for end in table.stalls):
            stalls = tuple(turned(end) for end in table.stalls)
            draft.put(replace(table, stalls=stalls))


def _swapped(part: Sitting) -> Sitting:
    """Return a thing on a run as seen when walking the run the other way."""
    match part:
        case Drop():
            rails = part.rails if part.rails == "both" else other_side(part.rails)
            return replace(part, a_rail=other_side(part.a_rail), rails=rails)
        case Gap():
            rails = part.rails if part.rails == "both" else other_side(part.rails)
            return replace(part, rails=rails)
        case Turnout():
            opens: Literal["forward", "backward"] = (
                "backward" if part.opens == "forward" else "forward"
            )
            return replace(part, opens=opens)
        case Load():
            return part


def _need_pieces(pieces: tuple[Piece, ...]) -> None:
    if not pieces:
        raise EditError("A track needs at least one piece.", "Draw a length of it.")


def _sitting_on(draft: Draft, run_id: PartId) -> list[Sitting]:
    return [
        part
        for part in draft.view.parts.values()
        if isinstance(part, Drop | Gap | Load | Turnout) and part.on.run == run_id
    ]


def _place(draft: Draft, part: Sitting, on: OnRun) -> None:
    draft.put(replace(part, on=on))


def _cut(
    pieces: tuple[Piece, ...], at_mm: float
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """Return the pieces before and after a place along them."""
    first: list[Piece] = []
    second: list[Piece] = []
    left = at_mm
    for piece in pieces:
        length = piece_length_mm(piece)
        if left >= length - LEAST_PIECE_MM:
            first.append(piece)
        elif left <= LEAST_PIECE_MM:
            second.append(piece)
        else:
            first.append(_share(piece, left / length))
            second.append(_share(piece, 1.0 - left / length))
        left -= length
    return tuple(first), tuple(second)


def _share(piece: Piece, share: float) -> Piece:
    if isinstance(piece, Arc):
        return replace(piece, sweep_deg=piece.sweep_deg * share)
    return Straight(length_mm=piece.length_mm * share)


def _turned(piece: Piece) -> Piece:
    """Return a piece as walked the other way."""
    if isinstance(piece, Arc):
        return replace(piece, sweep_deg=-piece.sweep_deg)
    return piece


def _other_sides(sides: Sides) -> Sides:
    if sides in ("none", "both"):
        return sides
    return "right" if sides == "left" else "left"
