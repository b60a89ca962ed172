"""Which nodes hang together, and which of them a booster reaches."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.network.circuit import Circuit

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Islands:
    """Connected pieces of a circuit, boosters counted as connections.

    Attributes
    ----------
    label : int array, shape (N,)
        Number of the island of each node.
    metal : int array, shape (N,)
        Number of the piece of joined metal each node belongs to: the same
        without boosters. Where both poles of a booster are one piece it is
        shorted.
    reference : int array, shape (islands,)
        A node of each island taken as zero volts: the minus pole of its first
        booster, or -1 where no booster reaches the island.
    """

    label: NDArray[np.int64]
    metal: NDArray[np.int64]
    reference: NDArray[np.int64]

    @property
    def live(self) -> NDArray[np.bool_]:
        """Whether a booster reaches each node, shape (N,)."""
        fed: NDArray[np.bool_] = self.reference >= 0
        return fed[self.label]


def find_islands(circuit: Circuit) -> Islands:
    """Return the islands of a circuit."""
    metal = _pieces(len(circuit.nodes), circuit.tails, circuit.heads)
    ends = np.array([(s.plus, s.minus) for s in circuit.sources], np.int64)
    plus, minus = metal[ends.reshape(-1, 2)].T
    island_of = _pieces(int(metal.max(initial=-1)) + 1, plus, minus)
    label = island_of[metal]
    reference = np.full(int(label.max(initial=-1)) + 1, -1, np.int64)
    for source in reversed(circuit.sources):
        reference[label[source.minus]] = source.minus
    return Islands(label, metal, reference)


def _pieces(size: int, tails: Ints, heads: Ints) -> Ints:
    """Return the number of the piece that each node belongs to, in order of nodes."""
    from scipy.sparse import coo_matrix  # noqa: PLC0415 - 0.3 s, wanted late
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415

    if not size:
        return np.zeros(0, np.int64)
    ties = coo_matrix((np.ones(len(tails)), (tails, heads)), shape=(size, size))
    found: Ints = connected_components(ties, directed=False)[1].astype(np.int64)
    return found
