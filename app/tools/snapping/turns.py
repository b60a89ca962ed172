"""The turns of a helix: which of them a place in plan is meant on."""

from dataclasses import dataclass, replace
from math import floor, pi

from app.tools.pointer import Key, Pointer
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, Load, OnRun, TrackRun, Turnout

PAGES = {"page up": 1, "page down": -1}
"""Keys that step from turn to turn, and which way."""

_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Turns:
    """The places of a helix that lie over each other at one place in plan.

    Attributes
    ----------
    lowest_m : float
        The first of them along the run. [m]
    round_m : float
        How far once round is. [m]
    count : int
        How many there are. [1]
    index : int
        Which of them was asked about, from 0.
    """

    lowest_m: float
    round_m: float
    count: int
    index: int


def turns_at(layout: Layout, on: OnRun) -> Turns | None:
    """Return the turns at a place, or None where track lies over itself nowhere."""
    run = layout.get(on.run, TrackRun)
    for offset, length, per_mm in run_path(run).stretches() if run else ():
        round_mm = 2.0 * pi / abs(per_mm) if per_mm else float("inf")
        along = 1000.0 * on.position_m - offset
        if length <= round_mm or not -_SLACK <= along <= length + _SLACK:
            continue
        index = floor(along / round_mm + _SLACK)
        first = along - index * round_mm
        count = floor((length - first) / round_mm + _SLACK) + 1
        return Turns((offset + first) / 1000.0, round_mm / 1000.0, count, index)
    return None


def turn_of(layout: Layout, part_id: PartId) -> int:
    """Return on which turn of a helix a part sits, counted from 0."""
    part = layout.parts.get(part_id)
    if not isinstance(part, Drop | Gap | Load | Turnout):
        return 0
    turns = turns_at(layout, part.on)
    return 0 if turns is None else turns.index


def on_turn(layout: Layout, at: Pointer, turn: int) -> Pointer:
    """Return a pointer that is on a turn of the helix under it, counted from 0."""
    on = at.snap.on
    turns = turns_at(layout, on) if isinstance(on, OnRun) else None
    if turns is None or not isinstance(on, OnRun):
        return at
    index = min(max(turn, 0), turns.count - 1)
    place = OnRun(run=on.run, position_m=turns.lowest_m + index * turns.round_m)
    word = f"{at.snap.word}, turn {index + 1} of {turns.count} (PgUp, PgDn)"
    return replace(at, snap=replace(at.snap, on=place, word=word))


def stepped(layout: Layout, at: Pointer, turn: int, key: Key) -> int | None:
    """Return the turn that a key steps to, or None where it steps to none."""
    on, step = at.snap.on, PAGES.get(key.name)
    turns = turns_at(layout, on) if isinstance(on, OnRun) else None
    if step is None or turns is None:
        return None
    return min(max(min(turn, turns.count - 1) + step, 0), turns.count - 1)
