"""Which nodes hang together, and which of them a booster reaches."""

from dataclasses import dataclass

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from core.network.circuit import Circuit


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
    metal = np.zeros(len(circuit.nodes), np.int64)
    pieces = 0
    for members in nx.connected_components(circuit.graph):
        metal[list(members)] = pieces
        pieces += 1
    tied: nx.Graph[int] = nx.Graph()
    tied.add_nodes_from(range(pieces))
    tied.add_edges_from((metal[s.plus], metal[s.minus]) for s in circuit.sources)
    island_of = np.zeros(pieces, np.int64)
    count = 0
    for members in nx.connected_components(tied):
        island_of[list(members)] = count
        count += 1
    label = island_of[metal] if pieces else metal
    reference = np.full(count, -1, np.int64)
    for source in reversed(circuit.sources):
        reference[label[source.minus]] = source.minus
    return Islands(label, metal, reference)
