"""Reversing paths: closed ways along track on which left comes back as right.

Every link between sections has a parity. A closed way with an odd number of crossed
links joins the left rail to the right one: a dead short where nothing parts it, and
a train's wheels do the same at a gap. They are odd cycles of the parity graph; the
shortest one through a link is a shortest path in the graph's double cover (each
section twice, left up and right up), so no turnout settings are enumerated: a turnout
joins its rails to both of its ways, whichever is set.
"""

from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.network.sections import SectionLink, TrackPlan, plan_sections

GAP_COST_M = 1e6
"""Crossing a double gap costs this much, so ways without gaps are found first. [m]"""

Seat = tuple[int, bool]
"""A section, and whether it is walked with its rails swapped."""


@dataclass(frozen=True, slots=True)
class Hop:
    """One stretch of a reversing path, as walked. [m]"""

    run: PartId
    from_m: float
    to_m: float

    @property
    def length_m(self) -> float:
        """How far it goes. [m]."""
        return abs(self.to_m - self.from_m)


@dataclass(frozen=True, slots=True)
class ReversingPath:
    """One closed way on which the rails swap.

    Attributes
    ----------
    hops : tuple of Hop
        The way along the track, from the closing link round to it again.
    links : tuple of PartId
        Joints, turnouts and gaps on the way, the closing one first.
    gaps : tuple of PartId
        Those of them where both rails are cut.
    spans : tuple of tuples of Hop
        The way between one double gap and the next, where there are two or more:
        the sections that could be turned by a reverser.
    """

    hops: tuple[Hop, ...]
    links: tuple[PartId, ...]
    gaps: tuple[PartId, ...]
    spans: tuple[tuple[Hop, ...], ...]

    @property
    def length_m(self) -> float:
        """Length of the whole way. [m]."""
        return sum(hop.length_m for hop in self.hops)


def find_reversing(layout: Layout) -> tuple[ReversingPath, ...]:
    """Return the reversing paths of a layout, one for each independent one.

    Ways with the fewest double gaps come first, then the shortest.
    """
    plan = plan_sections(layout)
    odd = _odd_links(plan)
    found: dict[frozenset[PartId], ReversingPath] = {}
    for link in odd:
        path = _shortest(plan, link)
        if path is not None:
            found.setdefault(frozenset(path.links), path)
    return tuple(
        sorted(found.values(), key=lambda path: (len(path.gaps), path.length_m))
    )


def find_odd_links(layout: Layout) -> tuple[PartId, ...]:
    """Return the joints and turnouts that close a reversing way which is not cut.

    Without them the track still hangs together, and left meets right nowhere.
    """
    odd = _odd_links(plan_sections(layout))
    return tuple(dict.fromkeys(link.part for link in odd if not link.gapped))


def _odd_links(plan: TrackPlan) -> list[SectionLink]:
    """Return the links that close an odd cycle over a spanning forest.

    The forest takes ungapped links first, so that a cycle without gaps is never
    hidden behind one with gaps.
    """
    parent = list(range(len(plan.sections)))
    parity = [False] * len(plan.sections)

    def find(i: int) -> tuple[int, bool]:
        swapped = False
        while parent[i] != i:
            swapped ^= parity[i]
            i = parent[i]
        return i, swapped

    odd: list[SectionLink] = []
    for link in sorted(plan.links, key=lambda link: link.gapped):
        (a, a_swap), (b, b_swap) = find(link.a), find(link.b)
        turned = a_swap ^ b_swap ^ link.crossed
        if a == b:
            if turned:
                odd.append(link)
        else:
            parent[a] = b
            parity[a] = turned
    return odd


def _shortest(plan: TrackPlan, closing: SectionLink) -> ReversingPath | None:
    """Return the shortest odd way that uses a link."""
    cover = _double_cover(plan, closing)
    start: Seat = (closing.b, closing.crossed)
    goal: Seat = (closing.a, True)
    if closing.a == closing.b and start == goal:
        seats = [start]
    elif nx.has_path(cover, start, goal):
        seats = nx.shortest_path(cover, start, goal, weight="cost")
    else:
        return None
    links = [cover.edges[here, there]["link"] for here, there in pairwise(seats)]
    return _walk(plan, closing, seats, links)


def _double_cover(plan: TrackPlan, closing: SectionLink) -> "nx.Graph[Seat]":
    cover: nx.Graph[Seat] = nx.Graph()
    cover.add_nodes_from(
        (i, side) for i in range(len(plan.sections)) for side in (False, True)
    )
    for link in plan.links:
        if link is closing:
            continue
        half = sum(
            plan.sections[i].end_m - plan.sections[i].start_m for i in (link.a, link.b)
        )
        cost = 0.5 * half + 0.001 + (GAP_COST_M if link.gapped else 0.0)
        for side in (False, True):
            ends = ((link.a, side), (link.b, side ^ link.crossed))
            if not cover.has_edge(*ends) or cover.edges[ends]["cost"] > cost:
                cover.add_edge(*ends, cost=cost, link=link)
    return cover


def _walk(
    plan: TrackPlan,
    closing: SectionLink,
    seats: list[Seat],
    links: list[SectionLink],
) -> ReversingPath:
    hops: list[Hop] = []
    spans: list[list[Hop]] = [[]]
    position = closing.b_m
    order = [*links, closing]
    for (section, _), link in zip(seats, order, strict=True):
        leaves_by_a = link.a == section and not (link is closing and link.b == section)
        if link is closing:
            leaves_by_a = True
        here, there = (link.a_m, link.b_m) if leaves_by_a else (link.b_m, link.a_m)
        hop = Hop(plan.sections[section].run, position, here)
        hops.append(hop)
        spans[-1].append(hop)
        if link.gapped:
            spans.append([])
        position = there
    gaps = [link.part for link in order if link.gapped]
    return ReversingPath(
        hops=tuple(hops),
        links=(closing.part, *(link.part for link in links)),
        gaps=tuple(gaps),
        spans=_closed_spans(spans, closing) if len(gaps) > 1 else (),
    )


def _closed_spans(
    spans: list[list[Hop]], closing: SectionLink
) -> tuple[tuple[Hop, ...], ...]:
    """Return the spans between gaps; the last runs on into the first."""
    spans = spans[:-1] if closing.gapped else [[*spans[-1], *spans[0]], *spans[1:-1]]
    return tuple(tuple(span) for span in spans if span)
