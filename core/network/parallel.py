"""Boosters that feed the same metal: joined by design, or by a gap that is missing."""

from dataclasses import dataclass
from itertools import combinations, pairwise

import networkx as nx

from core.layout.ids import PartId
from core.network.circuit import Circuit
from core.network.islands import Islands


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two boosters whose like poles are joined by wire or rail.

    Attributes
    ----------
    boosters : tuple of two PartId
        Which.
    poles : tuple of str
        "plus", "minus" or both: which poles are joined.
    paths : tuple of tuples of PartId
        For each of those poles, the parts on the way of least resistance.
    """

    boosters: tuple[PartId, PartId]
    poles: tuple[str, ...]
    paths: tuple[tuple[PartId, ...], ...]


def find_meetings(circuit: Circuit, islands: Islands) -> tuple[Meeting, ...]:
    """Return each pair of boosters with a pole in common.

    One pole in common may be meant (a common return); both mean that two boosters
    feed one track, as a missing gap makes them do.
    """
    found: list[Meeting] = []
    metal = islands.metal
    for one, other in combinations(circuit.sources, 2):
        pairs = {
            pole: nodes
            for pole, nodes in (
                ("plus", (one.plus, other.plus)),
                ("minus", (one.minus, other.minus)),
            )
            if metal[nodes[0]] == metal[nodes[1]]
        }
        if pairs:
            found.append(
                Meeting(
                    (one.part, other.part),
                    tuple(pairs),
                    tuple(_path(circuit, *nodes) for nodes in pairs.values()),
                )
            )
    return tuple(found)


def _path(circuit: Circuit, start: int, end: int) -> tuple[PartId, ...]:
    nodes = nx.shortest_path(
        circuit.graph,
        start,
        end,
        weight=lambda _u, _v, between: min(
            data["branch"].ohm for data in between.values()
        ),
    )
    parts: list[PartId] = []
    for here, there in pairwise(nodes):
        between = circuit.graph.get_edge_data(here, there) or {}
        branch = min((d["branch"] for d in between.values()), key=lambda b: b.ohm)
        if not parts or parts[-1] != branch.part:
            parts.append(branch.part)
    return tuple(parts)
