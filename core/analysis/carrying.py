"""The most that each drop and bus carries while a train moves by.

With y = Z·a, a = e(tail) − e(head), the column of one wire of conductance g (the
adjoint of its current), one ampere drawn from rail to rail at a place x runs
through that wire as

    b(x) = −g·(y[left] − y[right]),

whatever x is: one solve a wire answers for every place. Drawn at fraction t of a
segment it acts as 1 − t and t amperes at the two ends, so standing + train·b is a
line in t, and its largest magnitude lies at an end of some segment. Nothing is
sampled. Loads of constant watts draw more as the train takes volts from them; what
that adds is solved for at the ends.

With another wire j open (a rank-one change, Sherman and Morrison 1950) wire k
carries

    i'k(x) = ik(x) + gk·(akᵀ·yj)·ij(x) / (1 − gj·ajᵀ·yj),

from the same columns. Islands do not know of each other: one right-hand side
serves a wire of each.

Worked by hand: a train halfway between two drops from one bar, of 20 and 30 mΩ
with their rails, draws 2 A; the drops share it as 1/20 to 1/30, 1.2 A and 0.8 A.
With the first one open the other carries all 2 A.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from core.analysis.failure import CHUNK
from core.analysis.ordering import Ints
from core.analysis.reopened import BRIDGE
from core.analysis.sound import sound_segments
from core.analysis.study import Floats, Study, place_in
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.network.circuit import BranchKind

MOST_KEPT = 30_000_000
"""Figures kept to answer for open neighbours, 240 MB; beyond that, in an island of
some 1500 pieces of track without a cut, neighbours are not asked."""


@dataclass(frozen=True, slots=True)
class Carried:
    """The most that one drop or bus carries, and when.

    Attributes
    ----------
    part : PartId
        The drop or bus.
    wire : str
        Its conductor that carries the most: "A" or "B".
    amps_a : float
        The most, with the test train at the worst place on top of the loads. [A]
    standing_a : float
        What that conductor carries of the standing loads alone. [A]
    at : OnRun or None
        Where the train then stands; None where no fed track hangs on it.
    open_a : float or None
        The most that a drop carries if one wire of another one is open; None for
        buses, where there is no other, and in islands beyond `MOST_KEPT`. [A]
    open_part : PartId or None
        That other drop.
    """

    part: PartId
    wire: str
    amps_a: float
    standing_a: float
    at: OnRun | None
    open_a: float | None = None
    open_part: PartId | None = None


def carried_amps(
    study: Study, *, go_on: Callable[[], bool] = lambda: True
) -> dict[PartId, Carried]:
    """Return the most that each live drop and bus carries, by part.

    With another drop open the loads are held at what they draw now. What shorted
    boosters feed is left out. `go_on` is asked now and then; once it says False
    nothing is returned.
    """
    return heaviest(study, live_wires(study), neighbours=True, go_on=go_on)


def heaviest(
    study: Study,
    branches: Ints,
    *,
    neighbours: bool = False,
    go_on: Callable[[], bool] = lambda: True,
) -> dict[PartId, Carried]:
    """Return the same for some wires, by branch number; see `carried_amps`."""
    found: dict[PartId, Carried] = {}
    for group in _groups(_islands(study, branches)):
        for island in _solved(study, group, go_on):
            if island is None:
                return {}
            for own in island.carried(study, neighbours=neighbours):
                _keep_worse(found, own)
    return {part: found[part] for part in study.layout.parts if part in found}


def _keep_worse(found: dict[PartId, Carried], own: Carried) -> None:
    """Keep the worse conductor or stretch of each part, and its worse opening."""
    last = found.get(own.part)
    if last is None:
        found[own.part] = own
        return
    best = own if own.amps_a > last.amps_a + 1e-12 else last
    opened = max((own, last), key=lambda c: -1.0 if c.open_a is None else c.open_a)
    found[own.part] = Carried(
        best.part,
        best.wire,
        best.amps_a,
        best.standing_a,
        best.at,
        opened.open_a,
        opened.open_part,
    )


def live_wires(study: Study) -> Ints:
    """Return the wires of drops and the stretches of buses, by branch number."""
    kinds = (BranchKind.DROP, BranchKind.BUS)
    every = np.concatenate([study.circuit.by_kind[kind] for kind in kinds])
    every.sort()
    return np.compress(study.system.active[every], every)


class _Island:
    """The wires asked for in one island, drops first, and its sound track."""

    def __init__(self, study: Study, wires: Ints, segments: Ints) -> None:
        system = study.system
        branches = study.circuit.branches
        is_drop = np.array([branches[i].kind is BranchKind.DROP for i in wires])
        self.wires = np.concatenate([wires[is_drop], wires[~is_drop]])
        self.drops = int(is_drop.sum())
        self.segments = segments
        ends = study.circuit.ends[segments]
        rows = system.row[ends]
        self._left = rows[:, [0, 2]].reshape(-1)
        self._right = rows[:, [1, 3]].reshape(-1)
        volts = study.source.volts
        lower = volts[ends[:, 0]] < volts[ends[:, 1]]
        self._sign = np.repeat(np.where(lower, -1.0, 1.0), 2)
        self._tail, self._head = system.tail[self.wires], system.head[self.wires]
        self._g = 1.0 / system.ohm[self.wires]
        self._amps = study.standing.amps[self.wires]
        size = len(self.wires)
        self._peak, self._where = np.abs(self._amps), np.full(size, -1)
        self._answer = _answer(study, segments)
        self._reach = _reach(study, self._tail, self._head) * self._g[:, None]
        self._flows = np.zeros((len(self._left), self.drops))
        self._ties = np.zeros((self.drops, self.drops))

    @property
    def kept(self) -> int:
        """How many figures are kept for the openings."""
        return self.drops * (len(self._left) + self.drops)

    def push(self, unit: Floats, first: int) -> None:
        """Put one ampere through each of the wires from `first`, a column each."""
        tail, head = (ends[first : first + CHUNK] for ends in (self._tail, self._head))
        columns = np.arange(len(tail))
        unit[tail, columns] += 1.0
        unit[head, columns] -= 1.0

    def read(self, response: Floats, first: int, train_a: float) -> None:
        """Take over what these columns say."""
        last = min(first + CHUNK, len(self.wires))
        y = response[:, : max(last - first, 0)]
        if last <= first:
            return
        across = self._sign[:, None] * (y[self._left] - y[self._right])
        flows = self._amps[first:last] - train_a * self._g[first:last] * across
        flows += self._answer @ self._reach[first:last].T
        if len(flows):
            which = np.abs(flows).argmax(axis=0)
            most = np.abs(flows[which, np.arange(last - first)])
            self._peak[first:last], self._where[first:last] = most, which
        drops = min(last, self.drops)
        if first < drops and self._flows.size:
            self._flows[:, first:drops] = flows[:, : drops - first]
            ties = y[self._tail[: self.drops]] - y[self._head[: self.drops]]
            self._ties[:, first:drops] = ties[:, : drops - first]

    def keep_nothing(self) -> None:
        """Keep no figures for the openings."""
        self._flows = np.zeros((0, 0))

    def carried(self, study: Study, *, neighbours: bool) -> Iterator[Carried]:
        """Yield what each wire carries."""
        branches = study.circuit.branches
        parts = [branches[i].part for i in self.wires]
        for k, number in enumerate(self.wires.tolist()):
            branch = branches[number]
            open_a, by = None, None
            if neighbours and k < self.drops and self._flows.size:
                open_a, by = self._worst_opening(k, parts)
            yield Carried(
                part=branch.part,
                wire=branch.wire,
                amps_a=float(self._peak[k]),
                standing_a=abs(float(self._amps[k])),
                at=self._place(study, int(self._where[k])),
                open_a=open_a,
                open_part=by,
            )

    def _place(self, study: Study, end: int) -> OnRun | None:
        if end < 0:
            return None
        return place_in(study.circuit, int(self.segments[end // 2]), float(end % 2))

    def _worst_opening(
        self, k: int, parts: list[PartId]
    ) -> tuple[float | None, PartId | None]:
        """Return the most that drop wire k carries with another one open.

        What |ik| and the share of |ij| that comes over can make together bounds
        each; the others are tried until no bound is higher than what was found.
        """
        own = np.diag(self._ties)
        left_over = 1.0 - self._g[: self.drops] * own
        usable = left_over >= BRIDGE
        usable &= np.array([part != parts[k] for part in parts[: self.drops]])
        share = self._g[k] * self._ties[k] / np.where(usable, left_over, 1.0)
        bound = np.where(
            usable, self._peak[k] + np.abs(share) * self._peak[: self.drops], -1.0
        )
        best: tuple[float | None, PartId | None] = (None, None)
        for j in np.argsort(-bound, kind="stable").tolist():
            if bound[j] < 0.0 or (best[0] is not None and bound[j] <= best[0]):
                break
            flows = self._flows[:, k] + share[j] * self._flows[:, j]
            most = float(np.abs(flows).max())
            if best[0] is None or most > best[0]:
                best = most, parts[j]
        return best


def _answer(study: Study, segments: Ints) -> Floats:
    """Return what loads of constant watts draw more with the train at each end. [A]

    Shape (2·S, H), starts and ends in turn; nothing where the train starves one.
    """
    hungry = study.scan.hungry
    if hungry is None:
        return np.zeros((2 * len(segments), 0))
    t = np.tile([0.0, 1.0], len(segments))
    z = hungry.toward(np.repeat(segments, 2), t)
    volts, starved = hungry.small.under(study.scan.train_a * z)
    volts = np.where(starved[:, None], hungry.small.volts, volts)
    return np.asarray(hungry.small.watts / volts - hungry.small.amps, np.float64)


def _reach(study: Study, tail: Ints, head: Ints) -> Floats:
    """Return the volts along wires for one ampere drawn by each such load. [V/A]"""
    hungry = study.scan.hungry
    if hungry is None:
        return np.zeros((len(tail), 0))
    columns = hungry.small.columns
    padded = np.vstack([columns, np.zeros((1, columns.shape[1]))])
    return np.asarray(padded[tail] - padded[head], np.float64)


def _islands(study: Study, branches: Ints) -> list[_Island]:
    """Return the wires by island, with the sound track of each.

    What flows in the island of a shorted booster is no load: it is left out.
    """
    circuit, label = study.circuit, study.system.islands.label
    shorted = set(study.shorted)
    bad = {label[s.plus] for s in circuit.sources if s.part in shorted}
    tails = np.array([circuit.branches[i].tail for i in branches], np.int64)
    segments = np.flatnonzero(sound_segments(study))
    of_wire, of_segment = label[tails], label[circuit.ends[segments, 0]]
    return [
        _Island(study, branches[of_wire == own], segments[of_segment == own])
        for own in np.unique(of_wire)
        if own not in bad
    ]


def _groups(islands: list[_Island]) -> Iterator[list[_Island]]:
    """Yield islands that are solved together, so that memory stays bounded."""
    group: list[_Island] = []
    kept = 0
    for island in islands:
        if island.kept > MOST_KEPT:
            island.keep_nothing()
            yield [island]
            continue
        if kept + island.kept > MOST_KEPT:
            yield group
            group, kept = [], 0
        group.append(island)
        kept += island.kept
    if group:
        yield group


def _solved(
    study: Study, group: list[_Island], go_on: Callable[[], bool]
) -> Iterator[_Island | None]:
    """Yield each island once it is worked out; None where nobody wants it."""
    system, train_a = study.system, study.scan.train_a
    most = max(len(island.wires) for island in group)
    for first in range(0, most, CHUNK):
        if not go_on():
            yield None
            return
        unit = np.zeros((system.size + 1, min(CHUNK, most - first)))
        for island in group:
            island.push(unit, first)
        response = np.vstack(
            [study.factor.solve(unit[:-1]), np.zeros((1, unit.shape[1]))]
        )
        for island in group:
            island.read(response, first, train_a)
    yield from group
