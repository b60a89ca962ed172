"""A way along track from one place to another, as a train can drive it.

A train keeps its direction: at a turnout it takes the leg only when it comes from the
toe, and from the leg it goes on past the toe. A slip leads over by its roads; a plain
diamond leads nowhere but across. Gaps do not stop it.
"""

from collections import defaultdict
from itertools import pairwise

import networkx as nx

from core.errors import EditError
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import Lie, lie_of, road_ends, slip_roads
from core.layout.parts import Crossing, OnRun, RunEnd, TrackJoint, TrackRun, Turnout
from core.network.reversing import Hop

Spot = tuple[PartId, float]
"""A place on a run. [m]"""

Heading = tuple[Spot, bool]
"""A place, and whether the train moves towards the run's end."""

CHANGE_M = 1e-6
"""Going over to another run costs this much, so that the plain way wins. [m]"""


def find_route(layout: Layout, start: OnRun, end: OnRun) -> tuple[Hop, ...]:
    """Return the shortest way from one place to another without reversing.

    Raises
    ------
    EditError
        No way leads there without reversing the train.
    UnknownNameError
        A place is on no track of this layout.
    """
    goals = [(start.run, start.position_m), (end.run, end.position_m)]
    for run, _ in goals:
        layout.need(run, TrackRun)
    graph = _drive_graph(layout, goals)
    ways = [
        path
        for first in ((goals[0], True), (goals[0], False))
        for last in ((goals[1], True), (goals[1], False))
        if (path := _way(graph, first, last)) is not None
    ]
    if not ways:
        raise EditError(
            "No way leads from there to here without reversing the train.",
            "Choose two places that one train can run between.",
        )
    routes = [_hops(graph, way) for way in ways]
    return min(routes, key=lambda hops: sum(hop.length_m for hop in hops))


def _way(
    graph: "nx.DiGraph[Heading]", first: Heading, last: Heading
) -> list[Heading] | None:
    if not nx.has_path(graph, first, last):
        return None
    return list(nx.shortest_path(graph, first, last, weight="length"))


def _drive_graph(layout: Layout, goals: list[Spot]) -> "nx.DiGraph[Heading]":
    graph: nx.DiGraph[Heading] = nx.DiGraph()
    length = {run.id: run_path(run).length_m for run in layout.of_kind(TrackRun)}
    spots: defaultdict[PartId, set[float]] = defaultdict(set)
    for run, whole in length.items():
        spots[run] |= {0.0, whole}
    for run, position in goals:
        spots[run].add(position)
    _add_links(graph, layout, length, spots)
    for run, places in spots.items():
        for here, there in pairwise(sorted(places)):
            graph.add_edge(
                ((run, here), True), ((run, there), True), length=there - here
            )
            graph.add_edge(
                ((run, there), False), ((run, here), False), length=there - here
            )
    for goal in goals:
        graph.add_nodes_from([(goal, True), (goal, False)])
    return graph


def _add_links(
    graph: "nx.DiGraph[Heading]",
    layout: Layout,
    length: dict[PartId, float],
    spots: defaultdict[PartId, set[float]],
) -> None:
    """Add the ways from run to run, and the places where they leave one."""
    for turnout in layout.of_kind(Turnout):
        if turnout.on.run in length and turnout.leg.run in length:
            spots[turnout.on.run].add(turnout.on.position_m)
            _add_turnout(graph, turnout, length)
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is not None and slip_roads(crossing, lie):
            for on in (crossing.a, crossing.b):
                spots[on.run].add(on.position_m)
            _add_slip(graph, crossing, lie)
    for joint in layout.of_kind(TrackJoint):
        if joint.a.run in length and joint.b.run in length:
            _add_joint(graph, joint, length)


def _outward(end: RunEnd, length: dict[PartId, float]) -> Heading:
    """Return the heading of a train that leaves a run by one of its ends."""
    at_end = end.end == "end"
    return (end.run, length[end.run] if at_end else 0.0), at_end


def _inward(end: RunEnd, length: dict[PartId, float]) -> Heading:
    spot, ahead = _outward(end, length)
    return spot, not ahead


def _add_joint(
    graph: "nx.DiGraph[Heading]", joint: TrackJoint, length: dict[PartId, float]
) -> None:
    for one, other in ((joint.a, joint.b), (joint.b, joint.a)):
        graph.add_edge(
            _outward(one, length), _inward(other, length), length=CHANGE_M, link=True
        )


def _add_turnout(
    graph: "nx.DiGraph[Heading]", turnout: Turnout, length: dict[PartId, float]
) -> None:
    toe: Spot = (turnout.on.run, turnout.on.position_m)
    opening = turnout.opens == "forward"
    graph.add_edge(
        (toe, opening), _inward(turnout.leg, length), length=CHANGE_M, link=True
    )
    graph.add_edge(
        _outward(turnout.leg, length), (toe, not opening), length=CHANGE_M, link=True
    )


def _add_slip(graph: "nx.DiGraph[Heading]", crossing: Crossing, lie: Lie) -> None:
    a: Spot = (crossing.a.run, crossing.a.position_m)
    b: Spot = (crossing.b.run, crossing.b.position_m)
    for side in slip_roads(crossing, lie):
        a_ahead, b_ahead = road_ends(lie, side)
        graph.add_edge((a, not a_ahead), (b, b_ahead), length=CHANGE_M, link=True)
        graph.add_edge((b, not b_ahead), (a, a_ahead), length=CHANGE_M, link=True)


def _hops(graph: "nx.DiGraph[Heading]", path: list[Heading]) -> tuple[Hop, ...]:
    """Return a way as one hop a run, stretches of the same run joined."""
    hops: list[Hop] = []
    joined = False
    for one, other in pairwise(path):
        (run, here), (_, there) = one[0], other[0]
        if "link" in graph.edges[one, other]:
            joined = False
            continue
        last = hops[-1] if hops else None
        if joined and last is not None:
            hops[-1] = Hop(run, last.from_m, there)
        else:
            hops.append(Hop(run, here, there))
        joined = True
    return tuple(hops)
