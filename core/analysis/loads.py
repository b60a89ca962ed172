"""What trains draw: constant amps, and constant watts by their upper root."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.analysis.hungry import Small
from core.analysis.nodal import Solution
from core.analysis.scan import LEAST_SOURCE_V
from core.analysis.system import Floats, System
from core.layout.ids import PartId

TOLERANCE = 1e-12
"""Newton stops when volts move by less than this share."""

MOST_STEPS = 60
"""Newton steps before a load is called impossible to feed."""

HALVINGS = 30
"""How often the most that a load can get is halved in upon."""


@dataclass(frozen=True, slots=True)
class Starved:
    """A constant-power load that the wiring cannot carry.

    `alone_w` is the most that it could get there were it the only one of constant
    watts, V²/(4·R); `most_w` beside those others that are fed. [W]
    """

    part: PartId
    asked_w: float
    alone_w: float
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
    small : Small or None
        The loads of constant watts that are fed, None where there are none.
    """

    injection: Floats
    amps: Floats
    starved: tuple[Starved, ...]
    small: Small | None = None


class Solves(Protocol):
    """What answers currents pushed into rows with their volts."""

    def solve(self, rhs: Floats, /) -> Floats:
        """Return volts of every row, shape as `rhs`, (n,) or (n, m)."""


def solve_loads(system: System, factor: Solves, source: Solution) -> Drawn:
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
    fed = np.flatnonzero(same & (np.abs(np.nan_to_num(across)) > LEAST_SOURCE_V))
    if not len(fed):
        return Drawn(np.zeros(system.size), amps, ())
    sign = np.sign(across[fed])
    fixed = np.array([0.0 if draws[i].watts else draws[i].amps for i in fed])
    watts = np.array([draws[i].watts for i in fed])
    injection = _push(system, pairs[fed], sign * fixed)
    drawn = fixed
    hungry = np.flatnonzero(watts > 0.0)
    if not len(hungry):
        amps[fed] = drawn
        return Drawn(injection, amps, ())
    unit = np.stack([_push(system, pairs[fed[[i]]], sign[[i]]) for i in hungry], axis=1)
    left_v = np.abs(across[fed[hungry]]) + unit.T @ -factor.solve(injection)
    columns = factor.solve(unit)
    mutual = unit.T @ columns
    amps_of, out = _balance(left_v, mutual, watts[hungry])
    drawn[hungry] = amps_of
    amps[fed] = drawn
    kept = np.flatnonzero(amps_of > 0.0)
    small = Small(
        draws=fed[hungry[kept]],
        watts=watts[hungry[kept]],
        volts=watts[hungry[kept]] / amps_of[kept],
        mutual=mutual[np.ix_(kept, kept)],
        columns=columns[:, kept],
    )
    return Drawn(
        injection=injection + unit @ amps_of,
        amps=amps,
        starved=_starved(system, fed[hungry], (left_v, mutual, watts[hungry]), out),
        small=small if len(kept) else None,
    )


def starved_by(system: System, small: Small, taken: Floats) -> tuple[Starved, ...]:
    """Return the loads that get no watts where something takes volts from them.

    Parameters
    ----------
    taken : float64 array, shape (H,)
        Volts that, say, a test train takes from each of the loads. [V]
    """
    open_v = small.volts + small.mutual @ small.amps - taken
    open_v = np.maximum(open_v, 1e-9)
    out = _balance(open_v, small.mutual, small.watts)[1]
    return _starved(system, small.draws, (open_v, small.mutual, small.watts), out)


def _starved(
    system: System,
    numbers: NDArray[np.int64],
    space: tuple[Floats, Floats, Floats],
    out: list[int],
) -> tuple[Starved, ...]:
    """Return loads that were left out: their open volts, mutual resistance, watts."""
    left_v, mutual, watts = space
    kept = watts.copy()
    kept[out] = 0.0
    return tuple(
        Starved(
            part=system.circuit.draws[numbers[i]].part,
            asked_w=float(watts[i]),
            alone_w=float(left_v[i] ** 2 / (4.0 * mutual[i, i])),
            most_w=most_beside(left_v, mutual, kept, i),
        )
        for i in out
    )


def most_beside(left_v: Floats, mutual: Floats, watts: Floats, which: int) -> float:
    """Return the most watts one load can have while the others have theirs. [W].

    Halved in upon between nothing and V²/(4·R), which no load passes; the root is
    found at the low end of what is left, so the figure is never too high.
    """
    watts = watts.copy()
    least, most = 0.0, float(left_v[which] ** 2 / (4.0 * mutual[which, which]))
    for _ in range(HALVINGS):
        watts[which] = 0.5 * (least + most)
        if newton(left_v, mutual, watts) is None:
            most = watts[which]
        else:
            least = watts[which]
    return least


def _push(system: System, pairs: NDArray[np.int64], amps: Floats) -> Floats:
    """Return the current pushed into each row by loads drawn left to right. [A]."""
    rows = np.zeros(system.size + 1)
    np.subtract.at(rows, system.row[pairs[:, 0]], amps)
    np.add.at(rows, system.row[pairs[:, 1]], amps)
    return rows[:-1]


def _balance(left_v: Floats, mutual: Floats, watts: Floats) -> tuple[Floats, list[int]]:
    """Return the amps of all loads and which had to be left out, hungriest first.

    One that was left out too soon, before another that took more, comes back: each
    that stays out cannot be fed beside those that are.
    """
    asked, watts = watts, watts.copy()
    out: list[int] = []
    while (amps := newton(left_v, mutual, watts)) is None:
        hunger = watts * np.diag(mutual) / left_v**2
        worst = int(np.argmax(hunger))
        out.append(worst)
        watts[worst] = 0.0
    for i in out[-2::-1]:
        watts[i] = asked[i]
        again = newton(left_v, mutual, watts)
        if again is None:
            watts[i] = 0.0
        else:
            amps = again
            out.remove(i)
    return amps, out


def newton(left_v: Floats, mutual: Floats, watts: Floats) -> Floats | None:
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
