"""Where on the track things are worst: one place for each device that clears it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.analysis.breakdown import Point, break_down, unit_response
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Floats, Loss, Study, place_in
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import OnRun


@dataclass(frozen=True, slots=True)
class Spot:
    """The worst place behind one device, and the other tracks in trouble there.

    Attributes
    ----------
    segment : int
        Its segment in the circuit.
    t : float
        Fraction along the segment.
    place : OnRun
        The same as a place on a run.
    size : float
        How far beyond the limit, as a ratio.
    by : Clearing or None
        The device.
    others : tuple of PartId
        Further runs behind the same device that are beyond the limit.
    sharers : tuple of PartId
        The devices that share a short there; empty where one carries all of it.
    """

    segment: int
    t: float
    place: OnRun
    size: float
    by: Clearing | None
    others: tuple[PartId, ...]
    sharers: tuple[PartId, ...] = ()

    @property
    def runs(self) -> tuple[PartId, ...]:
        """All runs in trouble, the worst first."""
        return (self.place.run, *self.others)

    @property
    def also(self) -> str:
        """A half sentence on the other tracks; empty where there are none."""
        if not self.others:
            return ""
        behind = f" behind {self.by.part}" if self.by else ""
        if self.sharers:
            behind = f" behind {list_names(self.sharers)}"
        count = len(self.others)
        tracks = "1 other track" if count == 1 else f"{count} other tracks"
        return f"; so it is on {tracks}{behind}"


def losses_at(study: Study, spot: Spot) -> tuple[Loss, ...]:
    """Return what the volts at a spot are lost in, with the test train there."""
    point = Point(spot.segment, spot.t)
    return break_down(study, point, unit_response(study, point))


def worst_spots(
    study: Study,
    t: Floats,
    size: Floats,
    guards: Sequence[Clearing | None] | None = None,
) -> list[Spot]:
    """Return the worst place behind each clearing device, worst first.

    Parameters
    ----------
    t : float64 array, shape (S,)
        The place looked at in each segment.
    size : float64 array, shape (S,)
        How far beyond the limit it is there; places at 1 or less, and nan, are
        left out.
    guards : sequence of Clearing or None, optional
        The device of each segment; default: the nearest. With them, segments whose
        shorts the same devices share come together.
    """
    clears = study.clearing if guards is None else guards
    over = np.flatnonzero(sound_segments(study) & np.nan_to_num(size > 1.0))
    ranked = over[np.argsort(-size[over], kind="stable")]
    behind: dict[object, list[int]] = {}
    shared: dict[int, tuple[PartId, ...]] = {}
    for i in ranked.tolist():
        by = clears[i]
        shared[i] = study.sharers(i) if guards is not None else ()
        key = shared[i] or (by.part if by else None)
        behind.setdefault(key, []).append(i)
    return [
        replace(
            _spot(study, found, t, size), by=clears[found[0]], sharers=shared[found[0]]
        )
        for found in behind.values()
    ]


def _spot(study: Study, found: list[int], t: Floats, size: Floats) -> Spot:
    i = found[0]
    own = study.circuit.segments[i].run
    runs = dict.fromkeys(study.circuit.segments[j].run for j in found)
    return Spot(
        segment=i,
        t=float(t[i]),
        place=place_in(study.circuit, i, float(t[i])),
        size=float(size[i]),
        by=study.clearing[i],
        others=tuple(run for run in runs if run != own),
    )
