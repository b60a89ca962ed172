"""What part of a short each device that can trip carries, wherever the short is.

The current of a short at a place divides over all that feeds it. With e the incidence
of a device's branch and f that of the place, its share is eᵀZf over the branch's
impedance: linear along a segment, so two values a segment hold all places. One solve
a device gives them, Z being symmetric. Most devices are the only way in to what is
behind them: they carry all of it or nothing, at every frequency. Only those that
something goes round are solved at the harmonics too.

Once devices O have opened (Woodbury), with M = (1/Y − Z_OO)⁻¹ and a = eᵀZf,

    Z' = Z + a_Oᵀ·M·a_O,   a' = a + Z_·O·M·a_O,   u' = u − a_Oᵀ·M·(i_O / Y),

i_O being what they carry with no load: no circuit is built or factorized again.

Diode detectors are taken as in the equations of the study: one that blocks without a
load, beside another way, stays open here.

Sources
-------
.. [1] W. W. Hager, Updating the inverse of a matrix, SIAM Review 31 (1989), 221-239.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.analysis.nodal import Solution
from core.analysis.ordering import Ints
from core.analysis.scan import Scan
from core.analysis.selected import Factor, Numbers
from core.analysis.shorts import OMEGAS, Waves
from core.analysis.system import Floats, System

ROUND = 1e-9
"""Less of a unit current than this goes round a device: nothing does. [1]"""

WHOLE = 1e-6
"""Nearer to 1 than this a share is the whole. [1]"""

AT_ONCE = 16
"""Devices solved together."""

_OMEGAS = np.concatenate([[0.0], OMEGAS])
"""Direct current and the harmonics. [1/s]"""


@dataclass(frozen=True, slots=True)
class State:
    """A short at P places with some devices open, at K frequencies.

    Attributes
    ----------
    volts : float64 array, shape (P,)
        Open voltage. [V]
    impedance : array, shape (P, K)
        Of the loop, at zero frequency and, where wanted, at `OMEGAS`. [Ω]
    shares : array, shape (J, P, K)
        Of the joined devices; 0 for open ones. [1]
    """

    volts: Floats
    impedance: Numbers
    shares: Numbers


@dataclass(frozen=True)
class Shares:
    """What the devices carry of a short; D devices, S segments.

    Attributes
    ----------
    system, scan
        What it was made from.
    find_waves : callable
        Gives the impedances at the harmonics, when they are first asked for.
    edges : int array, shape (J,)
        The branches of the joined devices.
    chains : tuple of int arrays
        Sets of devices that carry all of a short, by their numbers.
    chain : int array, shape (S,)
        Which of these sets each segment has.
    joined : int array, shape (J,)
        Devices that something goes round: they may carry a part.
    sense : float64 array, shape (S,)
        1 where the left rail is the higher one with no load, else −1.
    reach : float64 array, shape (J, S, 2)
        eᵀZf at both ends of each segment. [Ω]
    mutual : float64 array, shape (J, J)
        eᵀZe. [Ω]
    idle_a : float64 array, shape (J,)
        What they carry with no load, from tail to head. [A]
    """

    system: System
    scan: Scan
    find_waves: Callable[[], Waves]
    edges: Ints
    chains: tuple[Ints, ...]
    chain: Ints
    joined: Ints
    sense: Floats
    reach: Numbers
    mutual: Numbers
    idle_a: Floats

    @cached_property
    def touched(self) -> NDArray[np.bool_]:
        """Which joined device carries some of a short in which segment, (J, S)."""
        plain = np.abs(self.reach).max(axis=2, initial=0.0)
        return np.asarray(plain > ROUND * np.abs(self.ohms[:, :1]), np.bool_)

    def shifting(self, least: float) -> Ints:
        """Return the segments along which some device's share changes by more."""
        if not len(self.edges):
            return np.zeros(0, np.int64)
        shares = np.abs(self.reach) / np.abs(self.ohms[:, :1, None])
        change = np.abs(shares[..., 1] - shares[..., 0]).max(axis=0)
        return np.flatnonzero(change > least)

    @cached_property
    def ohms(self) -> Numbers:
        """Impedances of the joined devices, shape (J, 17). [Ω]"""
        ohm, henry = self.system.ohm[self.edges], self.system.henry[self.edges]
        return np.asarray(ohm[:, None] + 1j * _OMEGAS * henry[:, None])

    @cached_property
    def _waved(self) -> tuple[Numbers, Numbers]:
        """Return reach and mutual with the harmonics, (J, S, 2, 17), (J, J, 17)."""
        reach, mutual = self.reach[..., None], self.mutual[..., None]
        if not len(self.edges):
            return reach, mutual
        rows = _padded(self.find_waves().factor.solve_every(self._units))
        more = np.moveaxis(_reach(self.system, self.sense, rows), 3, 0)
        tail, head = self.system.tail[self.edges], self.system.head[self.edges]
        across = (rows[tail] - rows[head]).transpose(0, 2, 1)
        return (
            np.concatenate([reach, more], axis=-1),
            np.concatenate([mutual, across], axis=-1),
        )

    @property
    def _units(self) -> Floats:
        return _units(self.system, self.edges)

    def at(
        self, segments: Ints, t: Floats, opened: frozenset[int], *, plain: bool
    ) -> State:
        """Return the state at fractions t of segments.

        Parameters
        ----------
        opened : frozenset of int
            Which of the joined devices are open, as indices of `joined`.
        plain : bool
            Whether direct current alone is wanted: then K is 1, else 17.
        """
        volts = (1.0 - t) * self.scan.driven0[segments]
        volts += t * self.scan.driven1[segments]
        impedance = self._impedance(segments, t, plain=plain)
        if not len(self.edges):
            return State(volts, impedance, np.zeros((0, len(t), impedance.shape[1])))
        ends, mutual = self.reach[..., None], self.mutual[..., None]
        if not plain:
            ends, mutual = self._waved
        ohms = self.ohms[:, : impedance.shape[1]]
        s = t[:, None]
        reach = (1.0 - s) * ends[:, segments, 0] + s * ends[:, segments, 1]
        own = np.array(sorted(opened), np.int64)
        if len(own):
            gap = -mutual[np.ix_(own, own)].transpose(2, 0, 1).astype(ohms.dtype)
            gap[:, np.arange(len(own)), np.arange(len(own))] += ohms[own].T
            a = reach[own].transpose(2, 0, 1)
            answer = np.linalg.inv(gap) @ a
            impedance = impedance + (a * answer).sum(axis=1).T
            volts = volts - (ohms[own, 0].real * self.idle_a[own]) @ answer[0].real
            across = mutual[:, own].transpose(2, 0, 1)
            reach = reach + (across @ answer).transpose(1, 2, 0)
        shares = np.asarray(reach / ohms[:, None, :])
        shares[own] = 0.0
        return State(volts, impedance, shares)

    def _impedance(self, segments: Ints, t: Floats, *, plain: bool) -> Numbers:
        scan, s = self.scan, 1.0 - t
        a, cross, b = scan.short_loops[:, segments]
        ends = s**2 * a + 2.0 * s * t * cross + t**2 * b
        loop: Numbers = (ends + s * t * scan.rails[segments])[:, None]
        if not plain:
            waves = self.find_waves().impedance(segments, t)
            loop = np.concatenate([loop, waves], axis=1)
        loop[~scan.fed[segments]] = 1.0
        return loop


def find_shares(
    system: System,
    scan: Scan,
    *,
    factor: Factor,
    source: Solution,
    find_waves: Callable[[], Waves],
    edges: Ints,
) -> Shares:
    """Return what devices carry of a short anywhere.

    Parameters
    ----------
    factor : Factor
        The equations at zero frequency.
    source : Solution
        With no load.
    edges : int array, shape (D,)
        The branch (or booster) of each device, as `System` numbers edges.
    """
    left, right = source.volts[system.circuit.ends[:, 0]], system.circuit.ends[:, 1]
    sense = np.where(left >= source.volts[right], 1.0, -1.0)
    carries = np.zeros((len(edges), len(scan.fed)), np.bool_)
    joined: list[int] = []
    reaches: list[Numbers] = []
    columns: list[Numbers] = []
    for first in range(0, len(edges), AT_ONCE):
        some = edges[first : first + AT_ONCE]
        rows = _padded(factor.solve(_units(system, some)))
        across = np.diagonal(rows[system.tail[some]] - rows[system.head[some]])
        alone = 1.0 - across / system.ohm[some] < ROUND
        reached = _reach(system, sense, rows)
        for column in range(len(some)):
            if alone[column]:
                share = np.abs(reached[:, 0, column]) / system.ohm[some[column]]
                carries[first + column] = share > 0.5
            else:
                joined.append(first + column)
                reaches.append(reached[:, :, column])
                columns.append(rows[:, column])
    mine = edges[np.array(joined, np.int64)]
    tail, head = system.tail[mine], system.head[mine]
    mutual = [column[tail] - column[head] for column in columns]
    chain, chains = _chains(carries)
    sign = np.where(mine < len(system.circuit.branches), 1.0, -1.0)
    return Shares(
        system=system,
        scan=scan,
        find_waves=find_waves,
        edges=mine,
        chains=chains,
        chain=chain,
        joined=np.array(joined, np.int64),
        sense=sense,
        reach=np.array(reaches).reshape(len(mine), len(scan.fed), 2),
        mutual=np.array(mutual).reshape(len(mine), len(mine)),
        idle_a=source.amps[mine] * sign,
    )


def _reach(system: System, sense: Floats, rows: Numbers) -> Numbers:
    """Return eᵀZf of each column of rows at both ends of segments, (S, 2, …)."""
    ends = system.row[system.circuit.ends].reshape(-1, 2, 2)
    ahead = rows[ends[:, :, 1]] - rows[ends[:, :, 0]]
    sign = sense.reshape(-1, *([1] * (ahead.ndim - 1)))
    return np.asarray(sign * ahead)


def _units(system: System, edges: Ints) -> Floats:
    """Return a unit current into the tail and out of the head of each edge."""
    unit = np.zeros((system.size + 1, len(edges)))
    column = np.arange(len(edges))
    unit[system.tail[edges], column] += 1.0
    unit[system.head[edges], column] -= 1.0
    return unit[:-1]


def _padded(rows: Numbers) -> Numbers:
    """Return rows with a zero for references, which are row −1."""
    return np.concatenate([rows, np.zeros_like(rows[:1])])


def _chains(carries: NDArray[np.bool_]) -> tuple[Ints, tuple[Ints, ...]]:
    """Return for each segment which set of devices carries all, and the sets."""
    if not len(carries):
        return np.zeros(carries.shape[1], np.int64), (np.zeros(0, np.int64),)
    packed = np.ascontiguousarray(np.packbits(carries, axis=0).T)
    keys = packed.view(np.dtype((np.void, packed.shape[1]))).reshape(-1)
    _, first, chain = np.unique(keys, return_index=True, return_inverse=True)
    return chain.reshape(-1), tuple(np.flatnonzero(carries[:, i]) for i in first)
