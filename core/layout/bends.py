"""How a path bends, stretch by stretch, as walked away from a place on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import degrees

from core.layout.geometry import Path, Pose
from core.layout.parts import Arc, Piece, Straight

FLAT_PER_MM = 1e-9
"""A path that bends less than this is straight. [1/mm]"""

_LEAST_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Bend:
    """A stretch of even curvature; a positive one turns left. [mm, 1/mm]"""

    length_mm: float
    per_mm: float


def bends_from(
    path: Path, position_m: float, length_mm: float, *, forward: bool
) -> tuple[Bend, ...]:
    """Return how a path bends over a length from a place on it.

    Past its end it is thought to bend on as it ends.

    Parameters
    ----------
    forward : bool
        Whether it is walked towards the path's end; backward, left is right.
    """
    start = position_m * 1000.0
    found: list[Bend] = []
    left = length_mm
    stretches = path.stretches()
    sign = 1.0 if forward else -1.0
    for offset, length, per_mm in stretches if forward else reversed(stretches):
        near, far = sorted((sign * (offset - start), sign * (offset + length - start)))
        share = min(far, length_mm) - max(near, 0.0)
        if share > _LEAST_MM:
            found.append(Bend(share, sign * per_mm))
            left -= share
    if left > _LEAST_MM:
        if found:
            last = found[-1].per_mm
        else:
            last = stretches[-1][2] if forward else -stretches[0][2]
        found.append(Bend(left, last))
    return tuple(found)


def combined(
    one: Sequence[Bend], other: Sequence[Bend], how: Callable[[float, float], float]
) -> tuple[Bend, ...]:
    """Return one row of bends out of two, as far as both reach."""
    found: list[Bend] = []
    i = j = 0
    a_left = one[0].length_mm if one else 0.0
    b_left = other[0].length_mm if other else 0.0
    while i < len(one) and j < len(other):
        step = min(a_left, b_left)
        if step > _LEAST_MM:
            found.append(Bend(step, how(one[i].per_mm, other[j].per_mm)))
        a_left, b_left = a_left - step, b_left - step
        if a_left <= _LEAST_MM:
            i += 1
            a_left = one[i].length_mm if i < len(one) else 0.0
        if b_left <= _LEAST_MM:
            j += 1
            b_left = other[j].length_mm if j < len(other) else 0.0
    return tuple(found)


def pieces_of(bends: Sequence[Bend]) -> tuple[Piece, ...]:
    """Return the pieces of track that bend so."""
    return tuple(_piece(bend) for bend in _joined(bends))


def turned_back(bends: Sequence[Bend]) -> tuple[Bend, ...]:
    """Return the same bends as walked the other way."""
    return tuple(Bend(b.length_mm, -b.per_mm) for b in reversed(bends))


def length_of_bends(bends: Sequence[Bend]) -> float:
    """Return how long they are together. [mm]"""
    return sum(bend.length_mm for bend in bends)


def end_of(start: Pose, bends: Sequence[Bend]) -> Pose:
    """Return where one comes out who walks the bends from a pose."""
    pose = start
    for bend in bends:
        pose = pose.walked(bend.length_mm, bend.per_mm)
    return pose


def _joined(bends: Sequence[Bend]) -> list[Bend]:
    found: list[Bend] = []
    for bend in bends:
        if found and abs(found[-1].per_mm - bend.per_mm) < FLAT_PER_MM:
            found[-1] = Bend(found[-1].length_mm + bend.length_mm, found[-1].per_mm)
        else:
            found.append(bend)
    return found


def _piece(bend: Bend) -> Piece:
    if abs(bend.per_mm) < FLAT_PER_MM:
        return Straight(length_mm=bend.length_mm)
    return Arc(
        radius_mm=1.0 / abs(bend.per_mm),
        sweep_deg=degrees(bend.length_mm * bend.per_mm),
    )
