"""Diode detectors: which conduct, which way, and which block.

A detector's diodes are two in antiparallel behind its series resistance. In either
half-wave the current through it goes one way and loses the drop, or there is none
and up to the drop stands across it:

    |e| ≤ V,   i = 0 where |e| < V,   i ≥ 0 where e = V,   i ≤ 0 where e = −V.

With i₀ the currents of the network while no detector holds volts and K (symmetric,
positive semidefinite) what held volts take from them, i = i₀ − K·e. These are the
optimality conditions of

    least of ½·eᵀKe − i₀ᵀe   for |e| ≤ V,

a convex problem of as many unknowns as there are detectors: the currents are
unique, and every step of the active-set method used lowers the objective, so that
none comes back. K takes one solve a detector with the factors that are there.

Sources
-------
.. [1] J. Nocedal, S. J. Wright, Numerical Optimization, 2nd ed. (2006), ch. 16.5:
   active-set methods for convex quadratic programs.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.analysis.nodal import Nodal
from core.analysis.system import Floats, System
from core.errors import UnsettledError
from core.layout.ids import PartId
from core.network.circuit import BranchKind

Truths = NDArray[np.bool_]

TOLERANCE_A = 1e-7
"""Less current than this is none. [A]"""

SINGULAR = 1e-9
"""Eigenvalues of K below this share of the largest 1/R are zero. [1]"""


@dataclass(frozen=True, slots=True)
class State:
    """What the detectors do, shape (k,) each.

    Attributes
    ----------
    volts : float64 array
        Held from tail to head. [V]
    blocked : bool array
        No current passes though some could: less than the drop stands across it.
        One that no current could pass anyhow is not blocked; it holds no volts.
    """

    volts: Floats
    blocked: Truths

    def same(self, other: "State") -> bool:
        """Return whether the same ones block, and the others pass the same way."""
        ways = np.where(self.blocked, 0.0, np.sign(self.volts))
        theirs = np.where(other.blocked, 0.0, np.sign(other.volts))
        alike = bool((self.blocked == other.blocked).all())
        return alike and bool((ways == theirs).all())


class Diodes:
    """The detectors with a fixed drop of a circuit, in their own small space.

    Attributes
    ----------
    system : System
        The circuit with all of them conducting without a loss.
    edges : int array, shape (k,)
        Their branches.
    columns : float64 array, shape (n, k)
        Volts of every row for one ampere from head to tail of each. [Ω]
    siemens : float64 array, shape (k,)
        1/R of each. [S]
    drops : float64 array, shape (k,)
        V of each. [V]
    taken : float64 array, shape (k, k)
        K: amps of each that volts held by each take away. [S]
    """

    def __init__(self, system: System, nodal: Nodal) -> None:
        branches = system.circuit.branches
        self.system = system
        devices = system.circuit.by_kind[BranchKind.DEVICE].tolist()
        self.edges = np.array(
            [i for i in devices if branches[i].emf_v and system.active[i]], np.int64
        )
        count = len(self.edges)
        self.drops = np.array([branches[i].emf_v for i in self.edges], np.float64)
        self.siemens = 1.0 / system.ohm[self.edges]
        unit = np.zeros((system.size + 1, count))
        own = np.arange(count)
        unit[system.tail[self.edges], own] += 1.0
        unit[system.head[self.edges], own] -= 1.0
        self._unit = unit[:-1]
        self.columns = nodal.rows(self._unit) if count else self._unit
        both = self.siemens[:, None] * (self._unit.T @ self.columns) * self.siemens
        self.taken = np.diag(self.siemens) - 0.5 * (both + both.T)

    def __bool__(self) -> bool:
        """Return whether there are any."""
        return len(self.edges) > 0

    def amps(self, rows_v: Floats) -> Floats:
        """Return their currents by volts of each row, shape (n,) or (n, m). [A].

        As if none held any volts.
        """
        amps: Floats = (self.siemens * (self._unit.T @ rows_v).T).T
        return amps

    def settle(self, amps: Floats, start: Floats) -> State:
        """Return what the detectors do.

        Parameters
        ----------
        amps : float64 array, shape (k,)
            i₀, from `amps`. [A]
        start : float64 array, shape (k,)
            Volts to begin with. Where no current tells, they stay. [V]

        Raises
        ------
        UnsettledError
            The bound on steps is reached, which the method rules out but for
            rounding.
        """
        volts = np.clip(start, -self.drops, self.drops)
        tolerance = TOLERANCE_A + 1e-10 * float(np.abs(amps).max(initial=0.0))
        free = np.abs(volts) < self.drops
        for _ in range(50 + 20 * len(volts)):
            step = self._step(amps - self.taken @ volts, free, tolerance)
            if step is not None:
                room = np.full(len(volts), np.inf)
                moves = step != 0.0
                ends = np.where(step > 0.0, self.drops, -self.drops)
                room[moves] = (ends[moves] - volts[moves]) / step[moves]
                most = float(room.min())
                volts = volts + min(1.0, most) * step
                if most <= 1.0:
                    hit = room <= most * (1.0 + 1e-12)
                    volts[hit] = ends[hit]
                    free &= ~hit
                    continue
            wrong = np.where(free, 0.0, -np.sign(volts) * (amps - self.taken @ volts))
            worst = int(wrong.argmax())
            if wrong[worst] <= tolerance:
                return State(volts, self._blocked(free))
            free[worst] = True
        raise UnsettledError(self.parts)

    @property
    def parts(self) -> tuple[PartId, ...]:
        """Their names."""
        branches = self.system.circuit.branches
        return tuple(dict.fromkeys(branches[i].part for i in self.edges))

    def held(self, state: State, amps: Floats) -> Floats:
        """Return the volts of each where those of a state go on blocking. [V].

        Parameters
        ----------
        amps : float64 array, shape (k,)
            i₀. [A]
        """
        out = state.blocked
        volts = np.where(out, 0.0, state.volts)
        if out.any():
            left = amps[out] - self.taken[np.ix_(out, ~out)] @ volts[~out]
            volts[out] = np.linalg.solve(self.taken[np.ix_(out, out)], left)
        return volts

    def hold(self, state: State) -> System:
        """Return the system with the detectors held: volts given, blocked ones out."""
        drop = np.zeros(len(self.system.ohm))
        drop[self.edges] = np.where(state.blocked, 0.0, state.volts)
        active = self.system.active.copy()
        active[self.edges] &= ~state.blocked
        return replace(self.system, active=active, drop=drop)

    def lifts(self) -> Floats:
        """Return volts of every row for one volt held by each, shape (n, k). [1]"""
        lifts: Floats = self.columns * self.siemens
        return lifts

    def _step(self, amps: Floats, free: Truths, tolerance: float) -> Floats | None:
        """Return the way to where the free ones pass no current; None if they do not.

        Where their K is singular and current is left over, the way along which
        nothing holds it, longer than any drop.
        """
        own = np.flatnonzero(free)
        if not len(own):
            return None
        values, ways = np.linalg.eigh(self.taken[np.ix_(own, own)])
        along = ways.T @ amps[own]
        null = values <= SINGULAR * self.siemens.max()
        step = np.zeros(len(free))
        if (np.abs(along[null]) > tolerance).any():
            ray = ways[:, null] @ along[null]
            step[own] = ray * (4.0 * self.drops.max() / np.abs(ray).max())
            return step
        if not (~null).any():
            return None
        step[own] = ways[:, ~null] @ (along[~null] / values[~null])
        step[np.abs(step) < 1e-13 * self.drops.max()] = 0.0
        return step if step.any() else None

    def _blocked(self, free: Truths) -> Truths:
        """Return which free ones can be taken out without cutting anything off."""
        blocked = np.zeros(len(free), np.bool_)
        for i in np.flatnonzero(free):
            own = np.flatnonzero(blocked)
            left = self.taken[i, i]
            if len(own):
                aside = self.taken[own, i]
                left -= aside @ np.linalg.solve(self.taken[np.ix_(own, own)], aside)
            blocked[i] = left > 1e3 * SINGULAR * self.siemens[i]
        return blocked


class Blocking:
    """Solves the network with some detectors taken out, by the factors of the whole.

    With B the blocked ones, those hold e_B = K_BB⁻¹·i₀_B.
    """

    def __init__(self, diodes: Diodes, nodal: Nodal, blocked: Truths) -> None:
        own = np.flatnonzero(blocked)
        self._diodes, self._nodal, self._own = diodes, nodal, own
        self._inverse = np.linalg.inv(diodes.taken[np.ix_(own, own)])

    def solve(self, rhs: Floats) -> Floats:
        """Return volts of every row for currents pushed in, shape (n,) or (n, m)."""
        rows = self._nodal.rows(rhs)
        own = self._own
        if not len(own):
            return rows
        held = self._inverse @ self._diodes.amps(rows)[own]
        answer: Floats = rows + self._diodes.lifts()[:, own] @ held
        return answer
