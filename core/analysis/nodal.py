"""Steady state: volts at every node, amps in every branch."""

from dataclasses import dataclass

import numpy as np

from core.analysis.system import Floats, System


@dataclass(frozen=True, slots=True)
class Solution:
    """A solved steady state.

    Attributes
    ----------
    volts : float64 array, shape (N,)
        Of every node against its island's reference; nan on dead nodes. [V]
    amps : float64 array, shape (M + B,)
        From tail to head in every branch, then out of the plus pole of every
        booster; zero where dead. [A]
    residual : float
        Largest sum of currents left over at a node. [A]
    """

    volts: Floats
    amps: Floats
    residual: float


def solve_nodal(
    system: System, injection: Floats | None = None, *, emf: bool = True
) -> Solution:
    """Solve the nodal equations once; see `Nodal.solve`."""
    return Nodal(system).solve(injection, emf=emf)


class Nodal:
    """The nodal equations with their sparse factorization, to be solved often.

    G·v = i, with G symmetric positive definite: boosters are Norton sources,
    fixed drops Norton currents beside their resistance.

    Sources
    -------
    .. [1] C.-W. Ho, A. Ruehli, P. Brennan, The modified nodal approach to
       network analysis, IEEE Trans. Circuits and Systems 22 (1975), 504-509.
    """

    def __init__(self, system: System) -> None:
        from scipy.sparse import coo_matrix  # noqa: PLC0415 - 0.3 s, wanted late
        from scipy.sparse.linalg import splu  # noqa: PLC0415

        self._system = system
        use = system.active
        tail, head, g = system.tail[use], system.head[use], 1.0 / system.ohm[use]
        rows = np.concatenate([tail, head, tail, head])
        columns = np.concatenate([tail, head, head, tail])
        entries = np.concatenate([g, g, -g, -g])
        keep = (rows >= 0) & (columns >= 0)
        self._matrix = coo_matrix(
            (entries[keep], (rows[keep], columns[keep])),
            shape=(system.size, system.size),
        ).tocsc()
        # An empty matrix has no factors.
        self._factor = system.size and splu(
            self._matrix,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )

    def solve(self, injection: Floats | None = None, *, emf: bool = True) -> Solution:
        """Return the steady state.

        Parameters
        ----------
        injection : float64 array, shape (n,), optional
            Current pushed into each row by loads (negative: drawn). [A]
        emf : bool
            Whether fixed drops (diode detectors) count.
        """
        system = self._system
        drive = _drive(system, emf=emf)
        rhs = _scatter(system, drive / system.ohm)
        if injection is not None:
            rhs = rhs + injection
        v = self._factor.solve(rhs) if self._factor else np.zeros(0)
        residual = float(np.abs(self._matrix @ v - rhs).max(initial=0.0))
        return _solution(system, v, drive, residual)


def edge_amps(system: System, rows_v: Floats, drive: Floats) -> Floats:
    """Return the current of every edge from volts by row. [A]."""
    padded = np.append(rows_v, 0.0)
    across = padded[system.tail] - padded[system.head]
    amps: Floats = np.where(system.active, (across - drive) / system.ohm, 0.0)
    return amps


def fixed_drops(system: System) -> Floats:
    """Return the fixed drop of each edge from tail to head, boosters at zero. [V]."""
    drops = _drive(system, emf=True)
    drops[len(system.circuit.branches) :] = 0.0
    return drops


def _drive(system: System, *, emf: bool) -> Floats:
    """Return the voltage from tail to head that each edge holds at no current. [V].

    A fixed drop stands against the current, which runs from A to B, or the
    other way behind a booster of reversed phase.
    """
    circuit = system.circuit
    drive = np.zeros(len(system.ohm))
    offset = len(circuit.branches)
    for i, source in enumerate(circuit.sources):
        drive[offset + i] = source.volts
    if emf:
        for i, branch in enumerate(circuit.branches):
            if branch.emf_v:
                drive[i] = branch.emf_v * _direction(system, branch.tail)
    return drive


def _direction(system: System, node: int) -> float:
    """Return 1 where conductor A of that node's island is the plus pole, else −1."""
    island = system.islands.label[node]
    for source in system.circuit.sources:
        if system.islands.label[source.plus] == island:
            return 1.0 if system.circuit.nodes[source.plus].wire == "A" else -1.0
    return 1.0


def _scatter(system: System, norton: Floats) -> Floats:
    """Return the current that edges' Norton sources push into each row. [A]."""
    flow = np.where(system.active, norton, 0.0)
    padded = np.zeros(system.size + 1)
    np.add.at(padded, system.tail, flow)
    np.subtract.at(padded, system.head, flow)
    return padded[:-1]


def _solution(system: System, v: Floats, drive: Floats, residual: float) -> Solution:
    amps = edge_amps(system, v, drive)
    amps[len(system.circuit.branches) :] *= -1.0
    volts = np.where(system.islands.live, 0.0, np.nan)
    known = system.row >= 0
    volts[known] = v[system.row[known]]
    return Solution(volts, amps, residual)
