"""What trains draw: constant amps, and constant watts by their upper root."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.analysis.nodal import Solution
from core.analysis.selected import Factor
from core.analysis.system import Floats, System
from core.layout.ids import PartId

TOLERANCE = 1e-12
"""Newton stops when volts move by less than this share."""

MOST_STEPS = 60
"""Newton steps before a load is called impossible to feed."""


@dataclass(frozen=True, slots=True)
class Starved:
    """A constant-power load that the wiring cannot carry.

    `most_w` is the most that this load alone could get there, V²/(4·R).
    """

    part: PartId
    asked_w: float
    most_w: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """What each load draws.

    Attributes
    ----------
    injection : float64 array, shape (n,)
        Current the loads push into each row (drawn: negative). [A]
    amps : float64 array, shape (D,)
        Drawn by each load of the circuit, in order; nan where not fed. [A]
    starved : tuple of Starved
        Loads left out because no current gives them their watts.
    """

    injection: Floats
    amps: Floats
    starved: tuple[Starved, ...]


def solve_loads(system: System, factor: Factor, source: Solution) -> Drawn:
    """Return what the loads draw, given the circuit's volts without them.

    A load of P watts at open voltage u behind the mutual resistances Z draws
    i = P/(u − Z·i): Newton from no current leads to the upper root where one
    exists. Only these are solved for, in their own small space, on top of what the
    constant-amp loads leave.
    """
    draws = system.circuit.draws
    count = len(draws)
    amps = np.full(count, np.nan)
    pairs = np.array([(d.left, d.right) for d in draws], np.int64).reshape(-1, 2)
    across = source.volts[pairs[:, 0]] - source.volts[pairs[:, 1]]
    same = system.islands.label[pairs[:, 0]] == system.islands.label[pairs[:, 1]]
    fed = np.flatnonzero(same & (np.abs(np.nan_to_num(across)) > 0.0))
    if not len(fed):
        return Drawn(np.zeros(system.size), amps, ())
    sign = np.sign(across[fed])
    fixed = np.array([0.0 if draws[i].watts else draws[i].amps for i in fed])
    watts = np.array([draws[i].watts for i in fed])
    injection = _push(system, pairs[fed], sign * fixed)
    drawn = fixed
    starved: list[Starved] = []
    hungry = np.flatnonzero(watts > 0.0)
    if len(hungry):
        unit = np.stack(
            [_push(system, pairs[fed[[i]]], sign[[i]]) for i in hungry], axis=1
        )
        left_v = np.abs(across[fed[hungry]]) + unit.T @ -factor.solve(injection)
        mutual = unit.T @ factor.solve(unit)
        amps_of, out = _balance(left_v, mutual, watts[hungry])
        drawn[hungry] = amps_of
        injection = injection + unit @ amps_of
        for i in out:
            most_w = float(left_v[i] ** 2 / (4.0 * mutual[i, i]))
            load = draws[fed[hungry[i]]]
            starved.append(Starved(load.part, load.watts, most_w))
    amps[fed] = drawn
    return Drawn(injection, amps, tuple(starved))


def _push(system: System, pairs: NDArray[np.int64], amps: Floats) -> Floats:
    """Return the current pushed into each row by loads drawn left to right. [A]."""
    rows = np.zeros(system.size + 1)
    np.subtract.at(rows, system.row[pairs[:, 0]], amps)
    np.add.at(rows, system.row[pairs[:, 1]], amps)
    return rows[:-1]


def _balance(left_v: Floats, mutual: Floats, watts: Floats) -> tuple[Floats, list[int]]:
    """Return the amps of all loads and which had to be left out, hungriest first."""
    watts = watts.copy()
    out: list[int] = []
    while True:
        amps = _newton(left_v, mutual, watts)
        if amps is not None:
            return amps, out
        hunger = watts * np.diag(mutual) / left_v**2
        worst = int(np.argmax(hunger))
        out.append(worst)
        watts[worst] = 0.0


def _newton(left_v: Floats, mutual: Floats, watts: Floats) -> Floats | None:
    """Return the amps at the upper root, or None where there is none."""
    u = left_v.copy()
    for _ in range(MOST_STEPS):
        if (u[watts > 0.0] <= 0.0).any():
            return None
        safe = np.where(watts > 0.0, u, 1.0)
        error = u - (left_v - mutual @ (watts / safe))
        slope = np.eye(len(u)) - mutual * (watts / safe**2)
        # The upper root is where this Jacobian keeps a positive determinant.
        if np.linalg.det(slope) <= 0.0:
            return None
        step = np.linalg.solve(slope, error)
        u = u - step
        if np.abs(step).max() <= TOLERANCE * np.abs(left_v).max():
            return np.asarray(watts / np.where(watts > 0.0, u, 1.0), np.float64)
    return None
