"""Turn a turnout over: its leg to the other side, or the other way along its run."""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, degrees, sin
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
from core.layout.branching import BEYOND
from core.layout.change import Change
from core.layout.edits.clear import need_room
from core.layout.edits.draft import Draft, heading_deg, needed
from core.layout.edits.join import part_loose_ends, read_turnout
from core.layout.edits.sides import other_side
from core.layout.edits.toe import hanging_on
from core.layout.geometry import Path, Pose, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Crossing,
    Drop,
    Gap,
    Piece,
    Sides,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import run_name


def flip_hand(layout: Layout, turnout_id: PartId) -> Change:
    """Return the change that lets a turnout's leg leave to the other side.

    The leg, and all track that hangs on it, is mirrored at the through run; close to
    the toe it keeps bending off the through run as it did. Left rails stay left, so
    that all of it stays fed as it was.

    Raises
    ------
    EditError
        The leg leads back to the through run by another way, or there is no room.
    """
    turnout = needed(layout, turnout_id, Turnout)
    draft = Draft(layout)
    _turn(draft, turnout, _Over(turnout, mirrored=True, opens=turnout.opens))
    return draft.change(f"Flip {turnout_id} to the {other_side(turnout.hand)}")


def flip_opening(layout: Layout, turnout_id: PartId) -> Change:
    """Return the change that lets a turnout open the other way along its run.

    The leg, and all track that hangs on it, is turned about the toe by half a turn.
    What was on its left rails goes to the right ones, and so stays fed as it was.

    Raises
    ------
    EditError
        As `flip_hand`.
    """
    turnout = needed(layout, turnout_id, Turnout)
    opens: Literal["forward", "backward"] = (
        "backward" if turnout.opens == "forward" else "forward"
    )
    draft = Draft(layout)
    for run_id in _turn(draft, turnout, _Over(turnout, mirrored=False, opens=opens)):
        _swap_rails(draft, run_id)
    return draft.change(f"Turn {turnout_id} the other way")


@dataclass(frozen=True, slots=True)
class _Over:
    """How a turnout is turned over."""

    turnout: Turnout
    mirrored: bool
    opens: Literal["forward", "backward"]

    @property
    def sign(self) -> float:
        """−1 where left turns become right ones."""
        return -1.0 if self.mirrored else 1.0

    def toe(self, through: Path, *, now: bool) -> Pose:
        """Return the toe, looking the way the leg leaves, before or now."""
        opens = self.opens if now else self.turnout.opens
        pose = through.at(self.turnout.on.position_m)
        return pose if opens == "forward" else pose.reversed()

    def leg(self, through: Path, before: tuple[Bend, ...]) -> tuple[Bend, ...]:
        """Return how the leg bends now, walked from the toe."""
        near_mm = min(1000.0 * BEYOND * self.turnout.lead_m, length_of_bends(before))
        place = self.turnout.on.position_m
        was = bends_from(
            through, place, near_mm, forward=self.turnout.opens == "forward"
        )
        now = bends_from(through, place, near_mm, forward=self.opens == "forward")
        off = combined(before, was, lambda leg, run: self.sign * (leg - run))
        beyond = _beyond(before, near_mm)
        return (
            *combined(off, now, lambda leg, run: leg + run),
            *(Bend(b.length_mm, self.sign * b.per_mm) for b in beyond),
        )


def _turn(draft: Draft, turnout: Turnout, over: _Over) -> list[PartId]:
    """Turn a leg and what hangs on it over; return the runs that were moved."""
    through = run_path(needed(draft.view, turnout.on.run, TrackRun))
    leg = needed(draft.view, turnout.leg.run, TrackRun)
    carried = hanging_on(draft.view, turnout)
    if turnout.on.run in carried:
        raise EditError(
            f"{run_name(draft.view, leg.id)} leads back to "
            f"{run_name(draft.view, turnout.on.run)}, so {turnout.id} cannot turn.",
            "Take the joint or turnout at its other end away first.",
        )
    path = run_path(leg)
    from_start = turnout.leg.end == "start"
    at = 0.0 if from_start else path.length_m
    before = bends_from(path, at, path.length_mm, forward=from_start)
    now = over.leg(through, before)
    move = _Move(
        end_of(path.start if from_start else path.end.reversed(), before),
        end_of(over.toe(through, now=True), now),
        over.mirrored,
    )
    for run_id in carried:
        run = needed(draft.view, run_id, TrackRun)
        if run_id != leg.id:
            draft.put(move.run(run))
    draft.put(_relaid(leg, over.toe(through, now=True), now, from_start=from_start))
    for part in list(draft.view.of_kind(Turnout)):
        if over.mirrored and part.id != turnout.id and part.on.run in carried:
            draft.put(replace(part, hand=other_side(part.hand)))
    for crossing in list(draft.view.of_kind(Crossing)):
        if over.mirrored and {crossing.a.run, crossing.b.run} <= set(carried):
            draft.put(replace(crossing, side=other_side(crossing.side)))
    hand = other_side(turnout.hand) if over.mirrored else turnout.hand
    made = draft.put(replace(turnout, hand=hand, opens=over.opens))
    if read_turnout(draft.view, made) != hand:
        raise EditError(
            f"The leg would not come clear of {run_name(draft.view, turnout.on.run)} "
            "on that side.",
            "Draw the leg anew.",
        )
    need_room(draft.view, made)
    part_loose_ends(draft)
    return carried


@dataclass(frozen=True, slots=True)
class _Move:
    """What takes one pose to another, mirrored or not."""

    before: Pose
    after: Pose
    mirrored: bool

    def run(self, run: TrackRun) -> TrackRun:
        """Return a run where it comes to lie."""
        sign = -1.0 if self.mirrored else 1.0
        c, s = cos(self.before.heading), sin(self.before.heading)
        dx, dy = run.x_mm - self.before.x_mm, run.y_mm - self.before.y_mm
        ahead, aside = dx * c + dy * s, sign * (dy * c - dx * s)
        c, s = cos(self.after.heading), sin(self.after.heading)
        turned = sign * (run.heading_deg - degrees(self.before.heading))
        return replace(
            run,
            x_mm=self.after.x_mm + ahead * c - aside * s,
            y_mm=self.after.y_mm + ahead * s + aside * c,
            heading_deg=heading_deg(degrees(self.after.heading) + turned),
            pieces=tuple(_mirrored(p) for p in run.pieces)
            if self.mirrored
            else run.pieces,
        )


def _mirrored(piece: Piece) -> Piece:
    if isinstance(piece, Arc):
        return replace(piece, sweep_deg=-piece.sweep_deg)
    return piece


def _beyond(bends: tuple[Bend, ...], near_mm: float) -> tuple[Bend, ...]:
    """Return the bends without a first length of them."""
    found: list[Bend] = []
    left = near_mm
    for bend in bends:
        rest = bend.length_mm - max(left, 0.0)
        left -= bend.length_mm
        if rest > 1e-6:
            found.append(Bend(min(rest, bend.length_mm), bend.per_mm))
    return tuple(found)


def _relaid(
    leg: TrackRun, toe: Pose, bends: tuple[Bend, ...], *, from_start: bool
) -> TrackRun:
    start = toe if from_start else end_of(toe, bends).reversed()
    return replace(
        leg,
        x_mm=start.x_mm,
        y_mm=start.y_mm,
        heading_deg=heading_deg(degrees(start.heading)),
        pieces=pieces_of(bends if from_start else turned_back(bends)),
    )


def _swap_rails(draft: Draft, run_id: PartId) -> None:
    """Put what is on one rail of a run on the other one."""
    swap: Callable[[Sides], Sides] = _other_sides
    for part in list(draft.view.parts.values()):
        match part:
            case Drop() if part.on.run == run_id:
                rails = part.rails if part.rails == "both" else other_side(part.rails)
                draft.put(replace(part, a_rail=other_side(part.a_rail), rails=rails))
            case Gap() if part.on.run == run_id and part.rails != "both":
                draft.put(replace(part, rails=other_side(part.rails)))
            case TrackJoint() if part.a.run == run_id:
                draft.put(replace(part, insulated=swap(part.insulated)))
            case Turnout() if part.leg.run == run_id:
                draft.put(replace(part, leg_insulated=swap(part.leg_insulated)))
            case _:
                pass


def _other_sides(sides: Sides) -> Sides:
    if sides in ("none", "both"):
        return sides
    return "right" if sides == "left" else "left"
