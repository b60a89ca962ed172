"""Where the volts went: an exact split of the loss at one point.

By Tellegen's theorem, with b the branch currents of a unit current drawn at the
point (boosters held at zero) and i the true ones, the open voltage there less
the true voltage is the sum over all branches of R·b·i (and of fixed drops times
b). Each branch has its own row; nothing is left over.

Sources
-------
.. [1] B. D. H. Tellegen, A general network theorem, with applications, Philips
   Research Reports 7 (1952), 259-269.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.analysis.nodal import edge_amps
from core.analysis.study import Floats, Loss, Study
from core.layout.ids import PartId
from core.network.circuit import BranchKind


@dataclass(frozen=True, slots=True)
class Point:
    """A place inside a segment: its number and the fraction along it."""

    segment: int
    t: float


@dataclass(frozen=True, slots=True)
class Response:
    """What a unit current drawn at a point does.

    Attributes
    ----------
    rows : float64 array, shape (n,)
        Volts of every row. [V/A]
    amps : float64 array, shape (M + B,)
        Of every edge, tail to head. [1]
    """

    rows: Floats
    amps: Floats


def loss_word(loss: Loss) -> str:
    """Return what a kind of loss is called; "breaker" stands for any device."""
    return "device" if loss.kind == BranchKind.DEVICE else loss.kind


def unit_response(study: Study, point: Point) -> Response:
    """Return what one ampere drawn from rail to rail at a point does.

    Drawn inside a segment it acts on the rest of the circuit as (1 − t) and t
    amperes drawn at the segment's two ends.
    """
    return unit_responses(study, (point,))[0]


def unit_responses(study: Study, points: Sequence[Point]) -> tuple[Response, ...]:
    """Return `unit_response` of several points, solved together: much faster."""
    system = study.system
    rows = study.factor.solve(unit_pushes(study, points)[:-1])
    still = np.zeros(len(system.ohm))
    return tuple(
        Response(own, edge_amps(system, own, still))
        for own in np.ascontiguousarray(rows.T)
    )


def unit_pushes(study: Study, points: Sequence[Point]) -> Floats:
    """Return one ampere drawn at each point, as pushed into rows: (n + 1, P). [A]

    The last row stands for all references.
    """
    system = study.system
    rhs = np.zeros((system.size + 1, len(points)))
    for column, point in enumerate(points):
        segment = system.circuit.segments[point.segment]
        sign = _sense(study, point)
        for node, share in (
            (segment.left0, -sign * (1.0 - point.t)),
            (segment.right0, sign * (1.0 - point.t)),
            (segment.left1, -sign * point.t),
            (segment.right1, sign * point.t),
        ):
            rhs[system.row[node], column] += share
    return rhs


def amps_with_train(study: Study, point: Point, response: Response) -> Floats:
    """Return the current of every edge with the test train at a point. [A].

    From tail to head, in boosters from plus to minus: against what they give. Loads
    of constant watts answer the train.
    """
    amps = study.standing.amps.copy()
    amps[len(study.system.circuit.branches) :] *= -1.0
    amps += study.scan.train_a * response.amps
    answer = _answer(study, point)
    if answer is not None:
        amps += _edges(study, answer[0])
    return amps


def slope_response(study: Study, point: Point, response: Response) -> Response:
    """Return what one more ampere does at a point where the test train stands.

    The same as `unit_response` but for the loads of constant watts, which answer.
    """
    answer = _answer(study, point)
    hungry = study.scan.hungry
    if answer is None or hungry is None:
        return response
    rows = response.rows + hungry.small.columns @ answer[1]
    return Response(rows, response.amps + _edges(study, answer[1]))


def _answer(study: Study, point: Point) -> tuple[Floats, Floats] | None:
    hungry = study.scan.hungry
    if hungry is None:
        return None
    return hungry.answer(point.segment, point.t, study.scan.train_a)


def _edges(study: Study, drawn: Floats) -> Floats:
    """Return what amps of the loads of constant watts do in every edge. [A]."""
    assert study.scan.hungry is not None, "only loads that there are draw"
    rows = study.scan.hungry.small.columns @ drawn
    return edge_amps(study.system, rows, np.zeros(len(study.system.ohm)))


def break_down(study: Study, point: Point, response: Response) -> tuple[Loss, ...]:
    """Return the loss at a point, with the test train there, by kind of part.

    Returns
    -------
    tuple of Loss
        In the order of `BranchKind`; their volts sum to the open voltage less
        the voltage with the standing loads and the test train. [V]
    """
    system = study.system
    count = len(system.circuit.branches)
    train = study.scan.train_a
    amps = amps_with_train(study, point, response)
    volts = response.amps * (system.ohm * amps + system.drop)
    for i in rail_branches(study, point):
        volts[i] += system.ohm[i] * point.t * (1.0 - point.t) * train
    rows: dict[BranchKind, float] = {}
    parts: dict[BranchKind, dict[PartId, float]] = {}
    for i in np.flatnonzero(system.active).tolist():
        if i < count:
            branch = system.circuit.branches[i]
            kind, part = branch.kind, branch.part
        else:
            kind, part = BranchKind.SUPPLY, system.circuit.sources[i - count].part
        lost = float(volts[i])
        rows[kind] = rows.get(kind, 0.0) + lost
        share = parts.setdefault(kind, {})
        share[part] = share.get(part, 0.0) + lost
    return tuple(
        Loss(kind.value, rows[kind], _biggest(parts[kind]))
        for kind in BranchKind
        if kind in rows
    )


def rail_branches(study: Study, point: Point) -> tuple[int, int]:
    """Return the two rails of the segment that a point lies in, by branch number.

    A current I drawn at fraction t makes the current j of a rail j + (1 − t)·I
    before the point and j − t·I behind it. Weighted with their lengths the cross
    terms vanish: what b and j say of the rail stands, and t(1 − t)·R·I comes on
    top.
    """
    segment = study.circuit.segments[point.segment]
    between = study.circuit.rail_between
    return (
        between[segment.left0, segment.left1],
        between[segment.right0, segment.right1],
    )


def _sense(study: Study, point: Point) -> float:
    """Return 1 where the left rail is the higher one at no load, else −1."""
    segment = study.circuit.segments[point.segment]
    volts = study.source.volts
    return 1.0 if volts[segment.left0] >= volts[segment.right0] else -1.0


def _biggest(parts: dict[PartId, float]) -> tuple[PartId, ...]:
    """Return the parts that lose anything, biggest loss first, at most eight."""
    ranked = sorted(parts, key=lambda part: -abs(parts[part]))
    return tuple(part for part in ranked[:8] if abs(parts[part]) > 5e-4)
