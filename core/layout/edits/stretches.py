"""Keep what openings carry true when their runs change."""

from collections.abc import Callable, Iterable

from msgspec.structs import replace

from core.layout.edits.draft import Draft
from core.layout.ids import PartId
from core.layout.parts import Carried, Opening

LEAST_M = 1e-6
"""A stretch cut down to less is gone, but a board joint has no length. [m]"""

Remade = Callable[[Carried], Iterable[Carried]]
"""What becomes of a stretch."""


def remake_stretches(draft: Draft, run: PartId, remade: Remade) -> None:
    """Change what every opening carries of a run; one that carries nothing goes."""
    for opening in list(draft.view.of_kind(Opening)):
        if all(carried.run != run for carried in opening.carries):
            continue
        carries: list[Carried] = []
        for carried in opening.carries:
            carries.extend(remade(carried) if carried.run == run else (carried,))
        if carries:
            draft.put(replace(opening, carries=tuple(carries)))
        else:
            draft.take_out(opening.id)


def shifted(by_m: float, length_m: float, *, beyond_m: float = 0.0) -> Remade:
    """Return what shifts the ends of stretches that lie beyond a place."""

    def place(position: float) -> float:
        moved = position + by_m if position > beyond_m else position
        return min(max(moved, 0.0), length_m)

    def remade(carried: Carried) -> Iterable[Carried]:
        low, high = place(carried.from_m), place(carried.to_m)
        yield Carried(run=carried.run, from_m=low, to_m=high)

    return remade


def cut_short(length_m: float) -> Remade:
    """Return what drops the stretches, or shares of them, beyond a new end."""

    def remade(carried: Carried) -> Iterable[Carried]:
        if carried.from_m < length_m - LEAST_M:
            high = min(carried.to_m, length_m)
            yield Carried(run=carried.run, from_m=carried.from_m, to_m=high)

    return remade


def split_at(cut_m: float, new: PartId, new_length_m: float) -> Remade:
    """Return what hands the stretches beyond a cut on to a new run."""

    def remade(carried: Carried) -> Iterable[Carried]:
        low, high = carried.from_m, carried.to_m
        point = high - low <= LEAST_M
        if low <= cut_m if point else low < cut_m - LEAST_M:
            yield Carried(run=carried.run, from_m=low, to_m=min(high, cut_m))
        if low > cut_m if point else high > cut_m + LEAST_M:
            low, high = max(low - cut_m, 0.0), min(high - cut_m, new_length_m)
            yield Carried(run=new, from_m=min(low, high), to_m=high)

    return remade


def turned_round(length_m: float) -> Remade:
    """Return what counts stretches from the other end of their run."""

    def place(position: float) -> float:
        return min(max(length_m - position, 0.0), length_m)

    def remade(carried: Carried) -> Iterable[Carried]:
        low, high = place(carried.to_m), place(carried.from_m)
        yield Carried(run=carried.run, from_m=low, to_m=high)

    return remade


def clipped_openings(draft: Draft, run: PartId, length_m: float) -> None:
    """Bring ends that lie a rounding error beyond a run's end back to it."""
    remake_stretches(draft, run, shifted(0.0, length_m))
