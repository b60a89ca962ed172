"""Cuts through one rail only, and what feeds the track on their two sides."""

from collections.abc import Iterator
from dataclasses import dataclass

from core.analysis.study import Study
from core.layout.edits.sides import is_swapped, other_side
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Gap, OnRun, RunEnd, Side, TrackJoint, TrackRun, Turnout
from core.layout.queries import drops_on
from core.network.sections import SAME_PLACE_M


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of a cut: the rails of a run up to a place, or from it on."""

    on: OnRun
    ends_here: bool
    rail: Side


@dataclass(frozen=True, slots=True)
class OneRailCut:
    """A place where one rail is cut and the other leads on.

    Attributes
    ----------
    part : PartId
        The gap, insulated joint or insulated leg.
    on : OnRun
        Where.
    rail : Side
        The rail that is cut, as seen on that run.
    feeds : tuple of PartId
        What feeds the two sides, each once.
    """

    part: PartId
    on: OnRun
    rail: Side
    feeds: tuple[PartId, ...]


def find_one_rail_cuts(study: Study) -> tuple[OneRailCut, ...]:
    """Return the cuts through one rail that have no mate in the other one."""
    cuts = [(part, edges) for part, edges in _cuts(study.layout)]
    every = [edge for _, edges in cuts for edge in edges]
    found: list[OneRailCut] = []
    for part, edges in cuts:
        if any(_is_mate(edge, other) for edge in edges for other in every):
            continue
        feeds = [feed for edge in edges if (feed := _feed(study, edge)) is not None]
        first = edges[0]
        unlike = tuple(dict.fromkeys(feeds))
        found.append(OneRailCut(part, first.on, first.rail, unlike))
    return tuple(found)


def _cuts(layout: Layout) -> Iterator[tuple[PartId, tuple[Edge, Edge]]]:
    for gap in layout.of_kind(Gap):
        if gap.rails != "both" and not gap.bridged:
            here = Edge(gap.on, ends_here=True, rail=gap.rails)
            yield gap.id, (here, Edge(gap.on, ends_here=False, rail=gap.rails))
    for joint in layout.of_kind(TrackJoint):
        if joint.insulated in ("left", "right"):
            rail: Side = "left" if joint.insulated == "left" else "right"
            mate = other_side(rail) if is_swapped(joint) else rail
            yield (
                joint.id,
                (_at_end(layout, joint.a, rail), _at_end(layout, joint.b, mate)),
            )
    for turnout in layout.of_kind(Turnout):
        if turnout.leg_insulated in ("left", "right"):
            rail = "left" if turnout.leg_insulated == "left" else "right"
            mate = other_side(rail) if is_swapped(turnout) else rail
            toe = Edge(turnout.on, ends_here=turnout.opens == "forward", rail=mate)
            yield turnout.id, (toe, _at_end(layout, turnout.leg, rail))


def _at_end(layout: Layout, end: RunEnd, rail: Side) -> Edge:
    run = layout.get(end.run, TrackRun)
    length = run_path(run).length_m if run is not None else 0.0
    at_end = end.end == "end"
    place = OnRun(run=end.run, position_m=length if at_end else 0.0)
    return Edge(place, ends_here=at_end, rail=rail)


def _is_mate(edge: Edge, other: Edge) -> bool:
    apart = abs(edge.on.position_m - other.on.position_m)
    near = edge.on.run == other.on.run and apart <= SAME_PLACE_M + 1e-9
    return near and edge.rail != other.rail


def _feed(study: Study, edge: Edge) -> PartId | None:
    """Return what feeds the track on one side of a cut: its nearest drop there.

    The rail that leads on hands one side's device to the other, and most devices
    break one conductor only; a drop tells. Without one, the rails at the cut do.
    """
    at = edge.on.position_m
    drops = [
        drop
        for drop in drops_on(study.layout, edge.on.run)
        if (drop.on.position_m <= at if edge.ends_here else drop.on.position_m >= at)
    ]
    for drop in sorted(drops, key=lambda d: abs(d.on.position_m - at)):
        for link in study.circuit.links:
            if link.part == drop.id:
                return study.feeds.of_pair(*link.near)
    return _feed_at(study, edge)


def _feed_at(study: Study, edge: Edge) -> PartId | None:
    for i in study.circuit.on_run.get(edge.on.run, ()):
        segment = study.circuit.segments[i]
        at = segment.end_m if edge.ends_here else segment.start_m
        if abs(at - edge.on.position_m) > 1e-6 or not study.scan.fed[i]:
            continue
        left, right = (
            (segment.left1, segment.right1)
            if edge.ends_here
            else (segment.left0, segment.right0)
        )
        nodes = (left, right) if edge.rail == "left" else (right, left)
        return study.feeds.of_pair(*nodes)
    return None
