"""What feeds the same metal twice: boosters or devices that no gap parts."""

from dataclasses import dataclass
from itertools import combinations, groupby, pairwise

import networkx as nx

from core.layout.ids import PartId
from core.network.circuit import Branch, BranchKind, Circuit
from core.network.islands import Islands
from core.network.sets import Sets
from core.network.ways import Way, way_along


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
    ways : tuple of Way
        The same, step by step.
    crossed : bool
        Whether unlike poles are joined: plus of the first, say, to minus of the
        other. `poles` are then those of the first.
    """

    boosters: tuple[PartId, PartId]
    poles: tuple[str, ...]
    paths: tuple[tuple[PartId, ...], ...]
    ways: tuple[Way, ...]
    crossed: bool = False


@dataclass(frozen=True, slots=True)
class Joined:
    """In-line devices whose outputs are one piece of metal.

    Attributes
    ----------
    feeders : tuple of PartId
        The devices, and the booster itself where its bus joins in.
    nodes : tuple of int
        An output node of each.
    """

    feeders: tuple[PartId, ...]
    nodes: tuple[int, ...]


def find_meetings(circuit: Circuit, islands: Islands) -> tuple[Meeting, ...]:
    """Return each pair of boosters with a pole in common.

    One pole in common may be meant (a common return); both mean that two boosters
    feed one track, as a missing gap makes them do.
    """
    found: list[Meeting] = []
    for one, other in combinations(circuit.sources, 2):
        straight = {"plus": (one.plus, other.plus), "minus": (one.minus, other.minus)}
        across = {"plus": (one.plus, other.minus), "minus": (one.minus, other.plus)}
        for pairs, crossed in ((straight, False), (across, True)):
            joined = {
                pole: ends
                for pole, ends in pairs.items()
                if islands.metal[ends[0]] == islands.metal[ends[1]]
            }
            if joined:
                ways = tuple(
                    _way(circuit, circuit.graph, ends) for ends in joined.values()
                )
                found.append(
                    Meeting(
                        (one.part, other.part),
                        tuple(joined),
                        tuple(path for path, _ in ways),
                        tuple(way for _, way in ways),
                        crossed,
                    )
                )
                break
    return tuple(found)


def find_opposed(
    circuit: Circuit, islands: Islands
) -> tuple[tuple[PartId, PartId], ...]:
    """Return each pair of boosters of which A feeds B of the other and B its A."""
    metal = islands.metal
    return tuple(
        (one.part, other.part)
        for one, other in combinations(circuit.sources, 2)
        if metal[one.plus] == metal[other.minus] != metal[one.minus]
        and metal[one.minus] == metal[other.plus]
    )


def find_joined(circuit: Circuit) -> tuple[Joined, ...]:
    """Return the in-line devices whose outputs something joins, past the devices.

    Each piece of metal behind devices has one feeder. Two mean that a gap is
    missing, or that a device's input and output meet and it is bypassed.
    """
    sets = Sets(len(circuit.nodes))
    feeders: list[tuple[PartId, int]] = []
    for branch in circuit.branches:
        if branch.kind is BranchKind.DEVICE:
            feeders.append((branch.part, branch.head))
        else:
            sets.join(branch.tail, branch.head)
    for source in circuit.sources:
        feeders += [(source.part, source.plus), (source.part, source.minus)]
    pieces: dict[int, dict[PartId, int]] = {}
    for part, node in feeders:
        pieces.setdefault(sets.find(node), {}).setdefault(part, node)
    return tuple(
        Joined(tuple(joined), tuple(joined.values()))
        for joined in pieces.values()
        if len(joined) > 1
    )


def trace_joined(circuit: Circuit, joined: Joined) -> tuple[tuple[PartId, ...], Way]:
    """Return the way by which the first two of them meet, the least resistance."""
    one, other = joined.nodes[:2]
    return _way(circuit, _bare(circuit), (one, other))


def _bare(circuit: Circuit) -> "nx.MultiGraph[int]":
    """Return the graph without its in-line devices."""
    bare: nx.MultiGraph[int] = nx.MultiGraph(circuit.graph)
    for i, branch in enumerate(circuit.branches):
        if branch.kind is BranchKind.DEVICE:
            bare.remove_edge(branch.tail, branch.head, key=i)
    return bare


def _way(
    circuit: Circuit, graph: "nx.MultiGraph[int]", ends: tuple[int, int]
) -> tuple[tuple[PartId, ...], Way]:
    """Return the way of least resistance: its parts, and step by step."""
    nodes: list[int] = nx.shortest_path(
        graph,
        *ends,
        weight=lambda _u, _v, between: min(
            data["branch"].ohm for data in between.values()
        ),
    )
    branches: list[Branch] = []
    for here, there in pairwise(nodes):
        between = graph.get_edge_data(here, there) or {}
        branches.append(min((d["branch"] for d in between.values()), key=_ohm))
    parts = tuple(part for part, _ in groupby(b.part for b in branches))
    return parts, way_along(circuit, nodes, branches)


def _ohm(branch: Branch) -> float:
    return branch.ohm
