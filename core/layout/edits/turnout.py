"""Lay a turnout on a run: its leg, its joint, and what its kind asks for."""

from dataclasses import dataclass
from math import degrees
from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.bends import (
    Bend,
    bends_from,
    combined,
    end_of,
    length_of_bends,
    pieces_of,
    turned_back,
)
from core.layout.branching import Branching
from core.layout.change import Change
from core.layout.edits.clear import need_room, turnouts_beyond
from core.layout.edits.cross import follow_tracks
from core.layout.edits.draft import Draft, heading_deg, needed, place_on
from core.layout.edits.join import is_free, make_turnout, part_loose_ends
from core.layout.edits.shape import extend_run
from core.layout.edits.sides import other_side
from core.layout.geometry import Path, Pose, run_path
from core.layout.ids import split_id
from core.layout.layout import Layout
from core.layout.parts import PREFIXES, End, OnRun, RunEnd, Side, TrackRun, Turnout
from core.layout.queries import level_mm_at, run_name
from core.materials.scales import gauge_m

Kind = Literal["plain", "wye", "three-way", "staggered", "curved"]

STAGGER = 0.5
"""How far the second toe of a staggered three-way lies along the first lead. [1]"""


@dataclass(frozen=True, slots=True)
class Wanted:
    """The turnout that is wanted.

    Attributes
    ----------
    kind : str
        "plain" leaves the track as it is and bends off beside it; of a "wye" both
        ways bend; "three-way" and "staggered" have two legs; "curved" has a leg of
        the branching's own radius beside a curve.
    hand : "left" or "right"
        The side of the leg, seen from the toe; of two legs the first. A curved
        one's follows from its radius.
    forward : bool
        Whether it opens towards the end of the run.
    branching : Branching
        Its shape, off straight track.
    """

    kind: Kind
    hand: Side
    forward: bool
    branching: Branching


def lay_turnout(layout: Layout, on: OnRun, wanted: Wanted) -> Change:
    """Return the change that lays a turnout with its short leg, joined and named.

    On a free end that is too near, the through run is drawn on as it bends there.

    Raises
    ------
    EditError
        There is no room: the track ends, or a gap or a turnout is in the way; or
        the kind does not go there.
    """
    on = place_on(layout, on)
    draft = Draft(layout)
    gauge = 1000.0 * gauge_m(layout.settings.scale)
    on = _lengthened(draft, on, wanted, gauge)
    made = _lay(draft, on, wanted, gauge)
    for turnout in made:
        need_room(draft.view, turnout)
    part_loose_ends(draft)
    named = " and ".join(turnout.id for turnout in made)
    return draft.change(f"Add turnout{'s' if len(made) > 1 else ''} {named}")


def _lay(draft: Draft, on: OnRun, wanted: Wanted, gauge_mm: float) -> list[Turnout]:
    match wanted.kind:
        case "plain":
            return [_lay_leg(draft, on, wanted, _off(wanted, gauge_mm))]
        case "curved":
            return [_lay_curved(draft, on, wanted, gauge_mm)]
        case "wye":
            _bend_through(draft, on, wanted, gauge_mm)
            return [_lay_leg(draft, on, wanted, _off(wanted, gauge_mm))]
        case "three-way" | "staggered":
            return _lay_two(draft, on, wanted, gauge_mm)


def _off(wanted: Wanted, gauge_mm: float) -> tuple[Bend, ...]:
    """Return how the leg bends, besides what its through run does."""
    sign = 1.0 if wanted.hand == "left" else -1.0
    return wanted.branching.bends(gauge_mm, share=sign)


def _lengthened(draft: Draft, on: OnRun, wanted: Wanted, gauge_mm: float) -> OnRun:
    """Draw a run with a free end on, so far as the turnout needs; return the toe."""
    run = needed(draft.view, on.run, TrackRun)
    path, end = run_path(run), _far_end(on, wanted)
    ahead = path.length_m - on.position_m if wanted.forward else on.position_m
    more = _reach_mm(wanted, gauge_mm) - 1000.0 * ahead
    if more <= 0.0 or not is_free(draft.view, end):
        return on
    at = path.length_m if wanted.forward else 0.0
    bends = bends_from(path, at, more, forward=wanted.forward)
    _take(draft, extend_run(draft.view, run.id, pieces_of(bends), at=end.end))
    if wanted.forward:
        return on
    return OnRun(run=on.run, position_m=on.position_m + more / 1000.0)


def _reach_mm(wanted: Wanted, gauge_mm: float) -> float:
    """Return how much through track it takes. [mm]"""
    stagger = STAGGER * wanted.branching.lead_mm(gauge_mm)
    leg = wanted.branching.leg_mm(gauge_mm)
    return leg + (stagger if wanted.kind == "staggered" else 0.0)


def _far_end(on: OnRun, wanted: Wanted) -> RunEnd:
    end: End = "end" if wanted.forward else "start"
    return RunEnd(run=on.run, end=end)


def _lay_leg(draft: Draft, on: OnRun, wanted: Wanted, off: tuple[Bend, ...]) -> Turnout:
    """Draw a leg that bends off as the through run bends, and join it."""
    path = run_path(needed(draft.view, on.run, TrackRun))
    beside = bends_from(
        path, on.position_m, length_of_bends(off), forward=wanted.forward
    )
    bends = combined(beside, off, lambda a, b: a + b)
    return _join_leg(draft, on, wanted, bends)


def _lay_curved(draft: Draft, on: OnRun, wanted: Wanted, gauge_mm: float) -> Turnout:
    """Draw a leg of the wanted radius beside a curve, which bends the same way."""
    run = needed(draft.view, on.run, TrackRun)
    beside = bends_from(run_path(run), on.position_m, 1.0, forward=wanted.forward)
    curve = beside[0].per_mm
    if abs(curve) < 1e-6:
        raise EditError(
            f"{run.name or run.id} is straight there; a curved turnout needs a curve.",
            "Take a plain turnout, or go on to a curve.",
        )
    own = 1.0 / wanted.branching.radius_mm
    leg = own if curve > 0.0 else -own
    if abs(leg - curve) < 1e-6:
        raise EditError(
            f"The leg would have the same radius as {run.name or run.id}.",
            "Type another radius, smaller for a leg on the inside.",
        )
    across = Branching.of_radius(1.0 / abs(leg - curve), gauge_mm)
    side: Side = "left" if leg > curve else "right"
    bends = (Bend(across.leg_mm(gauge_mm), leg),)
    return _join_leg(draft, on, replace_hand(wanted, side), bends)


def replace_hand(wanted: Wanted, hand: Side) -> Wanted:
    """Return the same turnout to a side."""
    return Wanted(wanted.kind, hand, wanted.forward, wanted.branching)


def _lay_two(draft: Draft, on: OnRun, wanted: Wanted, gauge_mm: float) -> list[Turnout]:
    """Draw a leg to either side; the second toe may lie further on."""
    first = _lay_leg(draft, on, wanted, _off(wanted, gauge_mm))
    if wanted.kind == "staggered":
        apart = STAGGER * wanted.branching.lead_mm(gauge_mm) / 1000.0
        position = on.position_m + (apart if wanted.forward else -apart)
        on = place_on(draft.view, OnRun(run=on.run, position_m=position))
    second = replace_hand(wanted, other_side(wanted.hand))
    return [first, _lay_leg(draft, on, second, _off(second, gauge_mm))]


def _join_leg(
    draft: Draft, on: OnRun, wanted: Wanted, bends: tuple[Bend, ...]
) -> Turnout:
    run = needed(draft.view, on.run, TrackRun)
    toe = run_path(run).at(on.position_m)
    toe = toe if wanted.forward else toe.reversed()
    new = draft.new_id(PREFIXES["run"])
    leg = replace(
        run,
        id=new,
        name=f"Track {new.removeprefix(PREFIXES['run'])}",
        x_mm=toe.x_mm,
        y_mm=toe.y_mm,
        heading_deg=heading_deg(degrees(toe.heading)),
        pieces=pieces_of(bends),
        level_mm=level_mm_at(run, on.position_m),
        level_end_mm=None,
    )
    draft.put(leg)
    change = make_turnout(draft.view, on, RunEnd(run=new, end="start"))
    _take(draft, change)
    (made,) = (p for p in change.after.values() if isinstance(p, Turnout))
    made = draft.put(_as_before(draft, made))
    if made.hand != wanted.hand or (made.opens == "forward") != wanted.forward:
        raise EditError(
            f"The leg would not come clear of {run_name(draft.view, run.id)} there.",
            "Place it where the track bends less.",
        )
    return made


def _as_before(draft: Draft, made: Turnout) -> Turnout:
    """Return a turnout wired as the one that was added last."""
    others = [t for t in draft.base.of_kind(Turnout) if t.id != made.id]
    like = max(others, key=lambda t: (split_id(t.id) or ("", 0))[1], default=None)
    if like is None:
        return made
    return replace(
        made,
        frog=like.frog,
        heel_gaps=like.heel_gaps,
        contact_a=like.contact_a,
        frog_wire=like.frog_wire,
    )


def _bend_through(draft: Draft, on: OnRun, wanted: Wanted, gauge_mm: float) -> None:
    """Bend the through run away from the leg, and all of it beyond with it."""
    run = needed(draft.view, on.run, TrackRun)
    end = _far_end(on, wanted)
    name = run_name(draft.view, run.id)
    if not is_free(draft.view, end):
        raise EditError(
            f"A wye bends {name} too, and its {end.end} is joined to other track.",
            "Place it on a track whose end beyond it is free.",
        )
    beyond = turnouts_beyond(draft.view, run.id, on.position_m, end)
    if beyond:
        raise EditError(
            f"A wye bends {name} too, and {beyond[0]} lies beyond it.",
            "Place it beyond that turnout.",
        )
    path = run_path(run)
    whole = 1000.0 * path.length_m
    toe = 1000.0 * on.position_m
    rest = whole - toe if wanted.forward else toe
    off = wanted.branching.bends(gauge_mm, share=-0.5 if wanted.hand == "left" else 0.5)
    off = (*off, Bend(max(rest - length_of_bends(off), 0.0), 0.0))
    straight = bends_from(path, on.position_m, rest, forward=wanted.forward)
    bent = combined(straight, off, lambda a, b: a + b)
    draft.put(_rebuilt(run, path, on, bent, forward=wanted.forward))
    follow_tracks(draft)


def _rebuilt(
    run: TrackRun, path: Path, on: OnRun, bent: tuple[Bend, ...], *, forward: bool
) -> TrackRun:
    """Return a run with other bends beyond a place on it, which stays."""
    toe = path.at(on.position_m)
    if forward:
        kept = bends_from(path, 0.0, 1000.0 * on.position_m, forward=True)
        return replace(run, pieces=pieces_of((*kept, *bent)))
    rest = 1000.0 * (path.length_m - on.position_m)
    kept = bends_from(path, on.position_m, rest, forward=True)
    start: Pose = end_of(toe.reversed(), bent).reversed()
    return replace(
        run,
        x_mm=start.x_mm,
        y_mm=start.y_mm,
        heading_deg=heading_deg(degrees(start.heading)),
        pieces=pieces_of((*turned_back(bent), *kept)),
    )


def _take(draft: Draft, change: Change) -> None:
    """Do what a change does, in a draft that it was made for."""
    for part_id, part in change.after.items():
        if part is None:
            draft.take_out(part_id)
        else:
            draft.put(part)
