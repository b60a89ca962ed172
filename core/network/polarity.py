"""Where pole A meets pole B, by which path, and which crossed pair explains it."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby, pairwise

import networkx as nx

from core.layout.ids import PartId
from core.network.circuit import Branch, Circuit, Link
from core.network.islands import Islands
from core.network.sets import Sets
from core.network.ways import Way, way_along


@dataclass(frozen=True, slots=True)
class Culprit:
    """A connection whose crossing over would cure every short at once.

    `strip` is set where a whole terminal strip must be turned.
    """

    part: PartId
    where: str


@dataclass(frozen=True, slots=True)
class Short:
    """The two poles of one booster, joined.

    Attributes
    ----------
    booster : PartId
        Whose poles meet.
    path : tuple of PartId
        The parts that the current would run through, from pole to pole; the
        path of least resistance.
    nodes : tuple of int
        The same, node by node.
    ohm : float
        Resistance of that path, out and back. [Ω]
    culprits : tuple of Culprit
        Every single connection whose crossing over cures all shorts.
    way : Way
        The path again, step by step.
    """

    booster: PartId
    path: tuple[PartId, ...]
    nodes: tuple[int, ...]
    ohm: float
    culprits: tuple[Culprit, ...]
    way: Way


def find_shorts(circuit: Circuit, islands: Islands) -> tuple[Short, ...]:
    """Return each booster whose poles are joined by wire or rail.

    A connection of two conductors has a parity: straight or crossed. The poles
    meet where a closed way round has odd parity, so turning one connection of
    that way mends it; a connection is named where turning it alone mends all.
    """
    metal = islands.metal
    shorted = [s for s in circuit.sources if metal[s.plus] == metal[s.minus]]
    if not shorted:
        return ()
    simple = least_resistance(circuit)
    culprits = find_culprits(circuit)
    found: list[Short] = []
    for source in shorted:
        nodes: list[int] = nx.shortest_path(
            simple, source.plus, source.minus, weight="ohm"
        )
        branches: list[Branch] = [simple.edges[p]["branch"] for p in pairwise(nodes)]
        found.append(
            Short(
                source.part,
                tuple(part for part, _ in groupby(b.part for b in branches)),
                tuple(nodes),
                sum(branch.ohm for branch in branches),
                culprits,
                way_along(circuit, nodes, branches),
            )
        )
    return tuple(found)


def find_culprits(circuit: Circuit) -> tuple[Culprit, ...]:
    """Return every connection, or strip of them, that alone explains all shorts.

    Notes
    -----
    Everything but the links is merged once; each candidate is then tried on
    what is left: a union-find over links only, so the cost is the square of
    the number of links.
    """
    ground = Sets(len(circuit.nodes))
    linked = {i for link in circuit.links for i in link.branches}
    for i, branch in enumerate(circuit.branches):
        if i not in linked:
            ground.join(branch.tail, branch.head)
    roots = [
        (tuple(map(ground.find, link.near)), tuple(map(ground.find, link.far)))
        for link in circuit.links
    ]
    poles = [(ground.find(s.plus), ground.find(s.minus)) for s in circuit.sources]
    found: list[Culprit] = []
    for culprit, turned in _candidates(circuit.links):
        if _is_sound(roots, turned, poles):
            found.append(culprit)
    return tuple(found)


def _candidates(
    links: tuple[Link, ...],
) -> Iterable[tuple[Culprit, frozenset[int]]]:
    strips: dict[PartId, set[int]] = {}
    for i, link in enumerate(links):
        yield Culprit(link.part, link.where), frozenset((i,))
        if link.on is not None and link.where == "drop":
            strips.setdefault(link.on, set()).add(i)
    for strip, members in strips.items():
        if len(members) > 1:
            yield Culprit(strip, "strip"), frozenset(members)


def _is_sound(
    roots: "list[tuple[tuple[int, ...], tuple[int, ...]]]",
    turned: frozenset[int],
    poles: list[tuple[int, int]],
) -> bool:
    sets = _Sparse()
    for i, (near, far) in enumerate(roots):
        straight = i not in turned
        sets.join(near[0], far[0 if straight else 1])
        sets.join(near[1], far[1 if straight else 0])
    return all(sets.find(plus) != sets.find(minus) for plus, minus in poles)


def least_resistance(circuit: Circuit) -> "nx.Graph[int]":
    """Return a simple graph that keeps the best of parallel branches.

    Edges have the branch as `branch` and its resistance as `ohm`.
    """
    simple: nx.Graph[int] = nx.Graph()
    simple.add_nodes_from(range(len(circuit.nodes)))
    for branch in circuit.branches:
        ends = (branch.tail, branch.head)
        if not simple.has_edge(*ends) or simple.edges[ends]["ohm"] > branch.ohm:
            simple.add_edge(*ends, ohm=branch.ohm, branch=branch)
    return simple


class _Sparse:
    """Union-find over whatever turns up."""

    def __init__(self) -> None:
        self._parent: dict[int, int] = {}

    def find(self, item: int) -> int:
        parent = self._parent
        while (up := parent.get(item, item)) != item:
            item = up
        return item

    def join(self, a: int, b: int) -> None:
        a, b = self.find(a), self.find(b)
        if a != b:
            self._parent[a] = b
