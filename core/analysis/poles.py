"""Which pole each rail truly has, all along every run, and where the poles meet.

A rail is A where it hangs on the plus pole of the booster before it, B where it hangs
on the minus pole. Where both poles are one metal, a short, a rail counts to the pole
whose volts are nearer to its own: a crossed drop then shows as a stretch of track
whose rails lie the other way, up to the places where the current is shared.
"""

from collections import defaultdict
from dataclasses import dataclass
from typing import Literal

from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import OnRun, Side
from core.network.circuit import BranchKind, Segment, Source

Pole = Literal["A", "B"]

SAME_PLACE_M = 0.05
"""Meetings in the two rails no further apart are one (house choice). [m]"""


@dataclass(frozen=True, slots=True)
class PoleStretch:
    """A stretch of one rail that has one pole; None where no booster reaches. [m]

    `shorted` tells that its metal holds both poles: `pole` is then the nearer one.
    """

    start_m: float
    end_m: float
    pole: Pole | None
    shorted: bool = False


@dataclass(frozen=True, slots=True)
class RunPoles:
    """The poles of a run's two rails, from its start to its end."""

    left: tuple[PoleStretch, ...]
    right: tuple[PoleStretch, ...]

    def of(self, side: Side) -> tuple[PoleStretch, ...]:
        """Return the stretches of one rail."""
        return self.left if side == "left" else self.right

    def at(self, side: Side, place_m: float) -> PoleStretch | None:
        """Return the stretch of one rail that holds a place. [m]"""
        for stretch in self.of(side):
            if place_m <= stretch.end_m:
                return stretch
        return None


@dataclass(frozen=True, slots=True)
class PolePlan:
    """The poles of all runs, and the places of track where A goes over into B."""

    runs: dict[PartId, RunPoles]
    meets: tuple[OnRun, ...]


def find_poles(study: Study) -> PolePlan | None:
    """Return the poles of all rails; None while there is no booster at all."""
    if not study.circuit.sources:
        return None
    reader = _Reader(study)
    runs: dict[PartId, RunPoles] = {}
    meets: list[OnRun] = []
    for run, numbers in study.circuit.on_run.items():
        segments = [study.circuit.segments[i] for i in numbers]
        left, right = _Rail(reader), _Rail(reader)
        for segment in segments:
            left.go_on(segment, (segment.left0, segment.left1))
            right.go_on(segment, (segment.right0, segment.right1))
        runs[run] = RunPoles(tuple(left.stretches), tuple(right.stretches))
        meets += [OnRun(run=run, position_m=m) for m in _merged(left, right)]
    return PolePlan(runs, tuple(meets))


class _Rail:
    """One rail of a run, put together segment by segment."""

    def __init__(self, reader: "_Reader") -> None:
        self._reader = reader
        self._last: int | None = None
        self._shorted = False
        self.stretches: list[PoleStretch] = []
        self.meets: list[float] = []

    def go_on(self, segment: Segment, nodes: tuple[int, int]) -> None:
        """Add the rail of a segment, parted where it goes over to the other pole."""
        start, end = self._reader.lean(nodes[0]), self._reader.lean(nodes[1])
        self._shorted = self._reader.is_shorted(nodes[0])
        joined = self._last is not None and self._reader.touch(self._last, nodes[0])
        if start * end < 0.0:
            share = start / (start - end)
            middle = segment.start_m + share * (segment.end_m - segment.start_m)
            self._add(segment.start_m, middle, start, joined=joined)
            self._add(middle, segment.end_m, end, joined=True)
        else:
            self._add(segment.start_m, segment.end_m, start or end, joined=joined)
        self._last = nodes[1]

    def _add(self, start_m: float, end_m: float, lean: float, *, joined: bool) -> None:
        pole: Pole | None = None if lean == 0.0 else "A" if lean > 0.0 else "B"
        last = self.stretches[-1] if self.stretches else None
        shorted = self._shorted and pole is not None
        if last is not None and (last.pole, last.shorted) == (pole, shorted):
            self.stretches[-1] = PoleStretch(last.start_m, end_m, pole, shorted)
            return
        meet = last is not None and pole and last.pole and pole != last.pole
        if joined and meet:
            self.meets.append(start_m)
        self.stretches.append(PoleStretch(start_m, end_m, pole, shorted))


@dataclass(frozen=True, slots=True)
class _Hold:
    """What holds a piece of metal: its lean, or the volts half way of a short. [V]"""

    lean: float | None
    middle: float


_LOOSE = _Hold(0.0, 0.0)


class _Reader:
    """Tells to which pole of the booster before it a node leans."""

    def __init__(self, study: Study) -> None:
        self._metal: list[int] = study.system.islands.metal.tolist()
        self._volts: list[float] = study.source.volts.tolist()
        self._feeds = study.feeds
        self._sources = {source.part: source for source in study.circuit.sources}
        self._on: defaultdict[int, list[Source]] = defaultdict(list)
        for source in study.circuit.sources:
            for node in (source.plus, source.minus):
                self._on[self._metal[node]].append(source)
        self._holds: dict[tuple[int, PartId | None], _Hold] = {}
        self._touching = {
            frozenset((b.tail, b.head))
            for b in study.circuit.branches
            if b.kind is BranchKind.JOINT
        }

    def touch(self, one: int, other: int) -> bool:
        """Return whether two nodes are one, or joined by a rail joint."""
        return one == other or frozenset((one, other)) in self._touching

    def is_shorted(self, node: int) -> bool:
        """Return whether a node's metal holds both poles of its booster."""
        return self._hold(node).lean is None

    def lean(self, node: int) -> float:
        """Return more than 0 for A, less for B, 0 where no booster reaches."""
        hold = self._hold(node)
        if hold.lean is not None:
            return hold.lean
        # Dead even counts to the plus side, so that no live rail counts as dead.
        return self._volts[node] - hold.middle or 1e-12

    def _hold(self, node: int) -> _Hold:
        key = (self._metal[node], self._feeds.of_node.get(node))
        hold = self._holds.get(key)
        if hold is None:
            hold = self._holds[key] = self._look(*key)
        return hold

    def _look(self, metal: int, before: PartId | None) -> _Hold:
        source = self._source(metal, before)
        if source is None:
            return _LOOSE
        on_plus = metal == self._metal[source.plus]
        if on_plus != (metal == self._metal[source.minus]):
            return _Hold(1.0 if on_plus else -1.0, 0.0)
        poles = self._volts[source.plus], self._volts[source.minus]
        return _Hold(None, 0.5 * sum(poles))

    def _source(self, metal: int, before: PartId | None) -> Source | None:
        """Return the booster before a piece of metal, if it holds it."""
        near = self._on.get(metal, [])
        if before is not None:
            source = self._sources[self._feeds.chain(before)[-1]]
            if source in near:
                return source
        return near[0] if near else None


def _merged(left: _Rail, right: _Rail) -> list[float]:
    """Return the meetings of both rails; those beside each other once."""
    found: list[float] = []
    for place in sorted((*left.meets, *right.meets)):
        if not found or place - found[-1] > SAME_PLACE_M:
            found.append(place)
    return found
