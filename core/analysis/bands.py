"""How sure a figure is: bands of rail, joint and wire carried to a point.

The derivative of the loop resistance at a point by the resistance of a branch is
b², b the branch's share of a unit current drawn there; that of the voltage is
−b·i, i its true current (the adjoint of the same solve that gives the loss; loads
of constant watts are in it as the conductances that they are at those volts).
Rails, joints, contacts and wire may each be off in their own direction, all of a
kind together; their worst cases are added.

Sources
-------
.. [1] S. W. Director, R. A. Rohrer, The generalized adjoint network and network
   sensitivities, IEEE Trans. Circuit Theory 16 (1969), 318-323.
"""

from dataclasses import dataclass

import numpy as np

from core.analysis.breakdown import (
    Point,
    Response,
    amps_with_train,
    rail_branches,
    slope_response,
)
from core.analysis.ordering import Ints
from core.analysis.study import Floats, Study
from core.network.circuit import BranchKind, Circuit


@dataclass(frozen=True, slots=True)
class Band:
    """Least and most that a point may show, to first order."""

    volts_low_v: float
    volts_high_v: float
    loop_low_ohm: float
    loop_high_ohm: float
    short_low_a: float
    short_high_a: float


@dataclass(frozen=True, slots=True)
class Spreads:
    """How far each branch may be off, shape (M,) each.

    Attributes
    ----------
    low, high : float64 arrays
        Least and most resistance as a share of the default, less one. [1]
    kinds : int array
        Its kind: those of one kind are off together.
    """

    low: Floats
    high: Floats
    kinds: Ints


def spreads_of(circuit: Circuit) -> Spreads:
    """Return how far each branch of a circuit may be off; once for many points."""
    number = {kind: i for i, kind in enumerate(BranchKind)}
    branches = circuit.branches
    return Spreads(
        low=np.array([b.spread[0] for b in branches]) - 1.0,
        high=np.array([b.spread[1] for b in branches]) - 1.0,
        kinds=np.array([number[b.kind] for b in branches], np.int64),
    )


def band_at(
    study: Study, point: Point, response: Response, spreads: Spreads | None = None
) -> Band:
    """Return the band of volts, loop and resistive short current at a point."""
    system, scan = study.system, study.scan
    count = len(system.circuit.branches)
    spreads = spreads or spreads_of(system.circuit)
    low, high, kinds = spreads.low, spreads.high, spreads.kinds
    ohm, unit = system.ohm[:count], response.amps[:count]
    true = amps_with_train(study, point, response)[:count]
    slope = slope_response(study, point, response).amps[:count]
    by_loop = np.where(system.active[:count], ohm * unit**2, 0.0)
    by_volts = np.where(system.active[:count], ohm * slope * true, 0.0)
    inside = _inside(study, point)
    loop = scan.loop_at(point.segment, point.t)
    volts = scan.volts_at(point.segment, point.t)
    loop_less, loop_more = _spread(kinds, by_loop + inside, low, high)
    volts_more, volts_less = _spread(kinds, by_volts + inside * scan.train_a, low, high)
    driven = scan.driven_at(point.segment, point.t)
    if scan.starves_at(point.segment, point.t):
        volts_less = volts_more = 0.0
    return Band(
        volts_low_v=volts - volts_less,
        volts_high_v=volts - volts_more,
        loop_low_ohm=loop + loop_less,
        loop_high_ohm=loop + loop_more,
        short_low_a=driven / (loop + loop_more),
        short_high_a=driven / max(loop + loop_less, 1e-9),
    )


def _inside(study: Study, point: Point) -> Floats:
    """Return t(1 − t)·R on the two rails of the point's own segment. [Ω]."""
    added = np.zeros(len(study.circuit.branches))
    for i in rail_branches(study, point):
        added[i] = point.t * (1.0 - point.t) * study.system.ohm[i]
    return added


def _spread(
    kinds: Ints,
    slope: Floats,
    low: Floats,
    high: Floats,
) -> tuple[float, float]:
    """Return the least and most change of a sum, kinds going their own way."""
    ends = np.bincount(kinds, slope * low), np.bincount(kinds, slope * high)
    less = np.minimum(np.minimum(*ends), 0.0).sum()
    more = np.maximum(np.maximum(*ends), 0.0).sum()
    return float(less), float(more)
