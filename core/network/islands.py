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
    reference : int array, shape (islands,)
        A node of each island taken as zero volts: the minus pole of its first
        booster, or -1 where no booster reaches the island.
    """

    label: NDArray[np.int64]
    reference: NDArray[np.int64]

    @property
    def live(self) -> NDArray[np.bool_]:
        """Whether a booster reaches each node, shape (N,)."""
        fed: NDArray[np.bool_] = self.reference >= 0
        return fed[self.label]


def find_islands(circuit: Circuit) -> Islands:
    """Return the islands of a circuit."""
    graph: nx.Graph[int] = nx.Graph(circuit.graph)
    graph.add_edges_from((s.plus, s.minus) for s in circuit.sources)
    label = np.zeros(len(circuit.nodes), np.int64)
    count = 0
    for count, members in enumerate(nx.connected_components(graph), start=1):
        label[list(members)] = count - 1
    reference = np.full(count, -1, np.int64)
    for source in reversed(circuit.sources):
        reference[label[source.minus]] = source.minus
    return Islands(label, reference)
