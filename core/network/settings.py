"""Shorts that exist only for some setting of turnouts with live crossings.

Everything that is joined whatever is set is merged first. What is left is a small
graph: the merged pieces of metal, and for each live crossing two ways its contact can
lie, of which one holds at a time. A setting shorts a booster if a way from pole to
pole uses at most one of the two of every turnout.
"""

from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import numpy as np
from msgspec import structs

from core.layout.ids import PartId
from core.network.circuit import Circuit
from core.network.polarity import least_resistance
from core.network.ways import Way, way_along

MOST_STEPS = 20_000
"""Ways tried before the search for one booster is given up as clean enough.

A way visits each piece of metal once, so only a tangle of dozens of live crossings
without gaps between them comes near; such a layout shorts on the first way found.
"""

MOST_SHORTS = 20
"""Ways told for one booster. [1]"""


@dataclass(frozen=True, slots=True)
class SettingShort:
    """A booster whose poles meet for one setting.

    Attributes
    ----------
    booster : PartId
        Whose poles meet.
    straight, thrown : tuple of PartId
        The turnouts on the way, by how they must lie for it.
    """

    booster: PartId
    straight: tuple[PartId, ...]
    thrown: tuple[PartId, ...]


@dataclass(frozen=True, slots=True)
class _Way:
    """One position of one contact: two pieces of metal it would join."""

    turnout: PartId
    thrown: bool
    ends: tuple[int, int]


def find_setting_shorts(
    circuit: Circuit, *, without: frozenset[int] = frozenset()
) -> tuple[SettingShort, ...]:
    """Return the shorts that settings make, for each booster the shortest way first.

    How a turnout lies on one way is barred on those after it.
    Boosters that are shorted whatever is set are left to `polarity.find_shorts`.

    Parameters
    ----------
    without : set of int
        Branches taken as open: connections that are known to be crossed, so that one
        fault does not hide another.
    """
    if not circuit.frogs:
        return ()
    metal = fixed_metal(circuit, without=without)
    ways: dict[int, list[_Way]] = {}
    for frog in circuit.frogs:
        for thrown, rail in ((False, frog.inner), (True, frog.outer)):
            way = _Way(frog.part, thrown, (int(metal[frog.frog]), int(metal[rail])))
            for end in set(way.ends):
                ways.setdefault(end, []).append(way)
    found: list[SettingShort] = []
    for source in circuit.sources:
        plus, minus = int(metal[source.plus]), int(metal[source.minus])
        if plus == minus:
            continue
        barred: frozenset[_Way] = frozenset()
        for _ in range(MOST_SHORTS):
            path = _shortest_way(ways, plus, minus, barred)
            if path is None:
                break
            barred = barred.union(path)
            found.append(
                SettingShort(
                    source.part,
                    straight=tuple(w.turnout for w in path if not w.thrown),
                    thrown=tuple(w.turnout for w in path if w.thrown),
                )
            )
    return tuple(found)


def trace_setting(
    circuit: Circuit, short: SettingShort, *, without: frozenset[int] = frozenset()
) -> Way | None:
    """Return the way from pole to pole once the turnouts lie so.

    `without` as for `find_setting_shorts`. None where it finds none, since how
    another live crossing lies joins the poles beforehand.
    """
    source = next(s for s in circuit.sources if s.part == short.booster)
    simple = least_resistance(circuit)
    simple.remove_edges_from(
        (circuit.branches[i].tail, circuit.branches[i].head)
        for i in without.union(frog.branch for frog in circuit.frogs)
    )
    for frog in circuit.frogs:
        if frog.part not in (*short.straight, *short.thrown):
            continue
        set_to = frog.inner if frog.part in short.straight else frog.outer
        ends = (set_to, frog.frog)
        lies = structs.replace(
            circuit.branches[frog.branch], tail=ends[0], head=ends[1]
        )
        simple.add_edge(*ends, ohm=lies.ohm, branch=lies)
    if not nx.has_path(simple, source.plus, source.minus):
        return None
    nodes: list[int] = nx.shortest_path(simple, source.plus, source.minus, weight="ohm")
    branches = [simple.edges[pair]["branch"] for pair in pairwise(nodes)]
    return way_along(circuit, nodes, branches)


def fixed_metal(
    circuit: Circuit, *, without: frozenset[int] = frozenset()
) -> "np.ndarray[tuple[int], np.dtype[np.int64]]":
    """Return for each node which piece of metal it is of, live crossings' contacts off.

    Returns
    -------
    int array, shape (N,)
        The same number where nodes are joined whatever is set.
    """
    off = {frog.branch for frog in circuit.frogs} | without
    fixed: nx.Graph[int] = nx.Graph()
    fixed.add_nodes_from(range(len(circuit.nodes)))
    fixed.add_edges_from(
        (b.tail, b.head) for i, b in enumerate(circuit.branches) if i not in off
    )
    metal = np.zeros(len(circuit.nodes), np.int64)
    for number, members in enumerate(nx.connected_components(fixed)):
        metal[list(members)] = number
    return metal


def _shortest_way(
    ways: dict[int, list[_Way]], start: int, goal: int, barred: frozenset[_Way]
) -> tuple[_Way, ...] | None:
    """Return the shortest way from piece to piece that sets no turnout twice."""
    queue: list[tuple[int, tuple[_Way, ...], frozenset[int]]] = [
        (start, (), frozenset((start,)))
    ]
    for step, (here, path, seen) in enumerate(queue):
        if step > MOST_STEPS:
            return None
        used = {way.turnout for way in path}
        for way in ways.get(here, []):
            there = way.ends[1] if way.ends[0] == here else way.ends[0]
            if way.turnout in used or way in barred or there in seen:
                continue
            if there == goal:
                return (*path, way)
            queue.append((there, (*path, way), seen | {there}))
    return None
