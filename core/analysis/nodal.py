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


def solve_nodal(system: System, injection: Floats | None = None) -> Solution:
    """Solve the nodal equations once; see `Nodal.solve`."""
    return Nodal(system).solve(injection)


class Nodal:
    """The nodal equations with their sparse factorization, to be solved often.

    G·v = i, with G symmetric positive definite: boosters are Norton sources, and
    so are volts held by diodes (`diodes`), beside their resistance.

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

    def solve(
        self, injection: Floats | None = None, *, drop: Floats | None = None
    ) -> Solution:
        """Return the steady state.

        Parameters
        ----------
        injection : float64 array, shape (n,), optional
            Current pushed into each row by loads (negative: drawn). [A]
        drop : float64 array, shape (M + B,), optional
            Volts held by each edge from tail to head; default: the system's. [V]
        """
        system = self._system
        drive = _drive(system, system.drop if drop is None else drop)
        rhs = _scatter(system, drive / system.ohm)
        if injection is not None:
            rhs = rhs + injection
        v = self.rows(rhs)
        residual = float(np.abs(self._matrix @ v - rhs).max(initial=0.0))
        return _solution(system, v, drive, residual)

    def rows(self, pushed: Floats) -> Floats:
        """Return volts of every row for currents pushed in, shape (n,) or (n, m)."""
        if not self._factor:
            return np.zeros_like(pushed)
        rows: Floats = self._factor.solve(pushed)
        return rows


def edge_amps(system: System, rows_v: Floats, drive: Floats) -> Floats:
    """Return the current of every edge from volts by row. [A]."""
    padded = np.append(rows_v, 0.0)
    across = padded[system.tail] - padded[system.head]
    amps: Floats = np.where(system.active, (across - drive) / system.ohm, 0.0)
    return amps


def _drive(system: System, drop: Floats) -> Floats:
    """Return the voltage from tail to head that each edge holds at no current. [V]."""
    drive = drop.copy()
    offset = len(system.circuit.branches)
    for i, source in enumerate(system.circuit.sources):
        drive[offset + i] = source.volts
    return drive


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
