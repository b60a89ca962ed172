"""A circuit as numbered equations: which nodes are unknown, and the arrays."""

from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.analysis.ordering import Ints
from core.analysis.selected import Numbers, Pattern
from core.layout.ids import PartId
from core.network.circuit import Circuit
from core.network.islands import Islands, find_islands

Floats = NDArray[np.float64]
Place = tuple[PartId, float, str, int]
"""Part, where along it, wire, which of those that are alike. [m]"""


@dataclass(frozen=True, slots=True)
class System:
    """The nodal equations of the live part of a circuit.

    Rows stand for the live nodes that are no island's reference. Edges are the
    circuit's branches followed by its boosters (plus to minus), M + B in all.

    Attributes
    ----------
    circuit, islands
        What it was made from.
    row : int array, shape (N,)
        Equation of each node; −1 for references and dead nodes.
    size : int
        Number of equations, n.
    tail, head : int arrays, shape (M + B,)
        Rows of the ends of each edge.
    ohm, henry : float64 arrays, shape (M + B,)
        Of each edge; a booster has its inner resistance and no inductance. [Ω, H]
    active : bool array, shape (M + B,)
        Whether the edge lies in a live island, and no diodes block it.
    drop : float64 array, shape (M + B,)
        Volts that diodes hold from tail to head (`diodes`), boosters at zero. [V]
    """

    circuit: Circuit
    islands: Islands
    row: Ints
    size: int
    tail: Ints
    head: Ints
    ohm: Floats
    henry: Floats
    active: NDArray[np.bool_]
    drop: Floats


def build_system(circuit: Circuit) -> System:
    """Return the equations of a circuit, all diodes conducting without a loss."""
    islands = find_islands(circuit)
    live = islands.live
    unknown = live.copy()
    unknown[islands.reference[islands.reference >= 0]] = False
    row = np.full(len(circuit.nodes), -1, np.int64)
    row[unknown] = np.arange(int(unknown.sum()))
    plus = np.array([s.plus for s in circuit.sources], np.int64)
    minus = np.array([s.minus for s in circuit.sources], np.int64)
    tail_node = np.concatenate([circuit.tails, plus])
    head_node = np.concatenate([circuit.heads, minus])
    return System(
        circuit=circuit,
        islands=islands,
        row=row,
        size=int(unknown.sum()),
        tail=row[tail_node],
        head=row[head_node],
        ohm=np.array(
            [b.ohm for b in circuit.branches] + [s.ohm for s in circuit.sources]
        ),
        henry=np.array(
            [b.henry for b in circuit.branches] + [0.0] * len(circuit.sources)
        ),
        active=live[tail_node] if len(tail_node) else np.zeros(0, np.bool_),
        drop=np.zeros(len(tail_node)),
    )


def segment_rows(system: System) -> Ints:
    """Return the rows of each segment's left0, right0, left1, right1, shape (S, 4)."""
    return system.row[system.circuit.ends]


def row_places(system: System) -> dict[Place, int]:
    """Return the row of each place that has one, in the order of the rows.

    A place is told apart from others by its part, where it is along it, its wire,
    and how many of the same were before it: numbers and names change when
    something is added before it, this seldom.
    """
    counts: dict[tuple[PartId, float, str], int] = {}
    found: dict[Place, int] = {}
    for node, row in zip(system.circuit.nodes, system.row.tolist(), strict=True):
        place = (node.part, node.position_m, node.wire)
        count = counts.get(place, 0)
        counts[place] = count + 1
        if row >= 0:
            found[*place, count] = row
    return found


def pattern_pairs(system: System) -> Ints:
    """Return what the pattern must hold: edges, the clique of each segment's ends."""
    edges = np.stack([system.tail, system.head], axis=1)[system.active]
    ends = segment_rows(system)
    cliques = [ends[:, [a, b]] for a in range(4) for b in range(a + 1, 4)]
    pairs = np.concatenate([edges, *cliques])
    return pairs[(pairs >= 0).all(axis=1)]


def build_pattern(system: System) -> Pattern:
    """Return the pattern of the equations with the clique of each segment's ends."""
    return Pattern(system.size, pattern_pairs(system))


def fill_pattern(system: System, pattern: Pattern, admittance: Numbers) -> Numbers:
    """Return the nodal matrices by slot of the pattern.

    Parameters
    ----------
    admittance : float64 or complex128 array, shape (M + B, K)
        Of every edge, for K matrices; dead edges are left out. [S]

    Returns
    -------
    array, shape (slots, K)
        Entries of the nodal matrices. [S]
    """
    edges = np.stack([system.tail, system.head, system.active])
    adds = pattern.keep("adds", edges.tobytes(), partial(_adds, system, pattern))
    values: Numbers = adds @ admittance
    values[pattern.empty] = 0.0
    return values


def _adds(system: System, pattern: Pattern) -> Any:
    """Return what the admittance of each edge adds to each slot, (slots, M + B)."""
    from scipy.sparse import csr_matrix  # noqa: PLC0415 - 0.3 s, wanted late

    edges = np.flatnonzero(system.active)
    tail, head = system.tail[edges], system.head[edges]
    ends = ((tail, tail), (head, head), (tail, head))
    slots = np.concatenate([pattern.slot(*pair) for pair in ends])
    one = np.ones(len(edges))
    return csr_matrix(
        (np.concatenate([one, one, -one]), (slots, np.tile(edges, 3))),
        shape=(pattern.slots, len(system.tail)),
    )
