"""How far a train reaches from gap to gap, by ways that it can run.

At a turnout a train goes from the toe to either way and back, never from one way
to the other: so places are walked with a direction. Only ways without a gap between
the two at their ends count.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, road_ends, slip_roads
from core.layout.parts import Crossing, TrackJoint, Turnout
from core.network.sections import SectionLink, TrackPlan

Seat = tuple[int, float, int]
"""A section, a place on its run and which way a train faces: 1 to the end. [m]"""


@dataclass(frozen=True, slots=True)
class Span:
    """Two double gaps that a train stands on at once, if it is long enough.

    Attributes
    ----------
    first, second : PartId
        The gaps, insulated joints or insulated legs.
    length_m : float
        From one to the other along the track. [m]
    """

    first: PartId
    second: PartId
    length_m: float


@dataclass(frozen=True, slots=True)
class _Exit:
    """Where a train may leave a section.

    `position_m` is where, `facing` how it must face there, `to` where it is then;
    `stops` whether it is one of the gaps that count.
    """

    part: PartId
    position_m: float
    facing: int
    to: Seat
    stops: bool


def find_spans(
    layout: Layout, plan: TrackPlan, gaps: Collection[PartId], most_m: float
) -> tuple[Span, ...]:
    """Return each pair of gaps that lie less than a length apart for a train.

    Parameters
    ----------
    plan : TrackPlan
        Of the same layout.
    gaps : collection of PartId
        The gaps that count; a train runs over others as over plain track.
    most_m : float
        Length of the train. [m]
    """
    exits: defaultdict[int, list[_Exit]] = defaultdict(list)
    for link in plan.links:
        for section, way in _exits(layout, link, stops=link.part in gaps):
            exits[section].append(way)
    starts = [way for ways in exits.values() for way in ways if way.stops]
    found: dict[frozenset[PartId], Span] = {}
    for way in starts:
        for part, length in _reach(exits, way.to, most_m):
            pair = frozenset((way.part, part))
            if len(pair) == 2 and (pair not in found or length < found[pair].length_m):
                found[pair] = Span(way.part, part, length)
    return tuple(sorted(found.values(), key=lambda span: span.length_m))


def _reach(
    exits: Mapping[int, list[_Exit]], start: Seat, most_m: float
) -> Iterator[tuple[PartId, float]]:
    """Yield the gaps ahead of a train that has just passed one, and how far. [m]"""
    queue: list[tuple[float, Seat]] = [(0.0, start)]
    seen: set[Seat] = set()
    while queue:
        gone, seat = heappop(queue)
        if seat in seen:
            continue
        seen.add(seat)
        section, position, facing = seat
        for way in exits.get(section, ()):
            ahead = facing * (way.position_m - position)
            length = gone + ahead
            if way.facing != facing or ahead < 0.0 or length >= most_m - 1e-9:
                continue
            if way.stops:
                yield way.part, length
            else:
                heappush(queue, (length, way.to))


def _exits(
    layout: Layout, link: SectionLink, *, stops: bool
) -> Iterator[tuple[int, _Exit]]:
    """Yield both ways through a link, each with the section that it leaves."""
    part = layout.parts[link.part]
    if isinstance(part, Crossing):
        yield from _slip_exits(layout, link, part, stops=stops)
        return
    if isinstance(part, TrackJoint):
        from_a = 1 if part.a.end == "end" else -1
        from_b = 1 if part.b.end == "end" else -1
    elif isinstance(part, Turnout):
        from_a = 1 if part.opens == "forward" else -1
        from_b = 1 if part.leg.end == "end" else -1
    else:
        from_a, from_b = 1, -1
    for here, there in (
        ((link.a, link.a_m, from_a), (link.b, link.b_m, -from_b)),
        ((link.b, link.b_m, from_b), (link.a, link.a_m, -from_a)),
    ):
        section, position, facing = here
        yield section, _Exit(link.part, position, facing, there, stops)


def _slip_exits(
    layout: Layout, link: SectionLink, crossing: Crossing, *, stops: bool
) -> Iterator[tuple[int, _Exit]]:
    """Yield both ways along each slip road; a plain diamond has none."""
    lie = lie_of(layout, crossing)
    assert lie is not None, "the tracks of a link are there"
    for side in slip_roads(crossing, lie):
        a_ahead, b_ahead = road_ends(lie, side)
        # A train on the road comes from one end of it and leaves by the other.
        onto_a, onto_b = (1 if ahead else -1 for ahead in (a_ahead, b_ahead))
        to_a, to_b = (link.a, link.a_m, onto_a), (link.b, link.b_m, onto_b)
        yield link.a, _Exit(link.part, link.a_m, -onto_a, to_b, stops)
        yield link.b, _Exit(link.part, link.b_m, -onto_b, to_a, stops)
