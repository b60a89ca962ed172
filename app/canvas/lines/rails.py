"""Which rail of each run is conductor A, as the drops say."""

from collections import deque

from core.layout.edits.sides import is_swapped, other_side
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, ties_like_rails
from core.layout.parts import Crossing, Drop, Side, TrackJoint, TrackRun, Turnout

_Links = dict[PartId, list[tuple[PartId, bool]]]


def a_rails(layout: Layout) -> dict[PartId, Side]:
    """Return the rail that carries conductor A on every run.

    In each stretch of joined track the first drop decides; without any drop it
    is the left rail of the first run.
    """
    links = _links(layout)
    sides: dict[PartId, Side] = {}
    for drop in layout.of_kind(Drop):
        _spread(drop.on.run, drop.a_rail, links, sides)
    for track in layout.of_kind(TrackRun):
        _spread(track.id, "left", links, sides)
    return sides


def _links(layout: Layout) -> _Links:
    links: _Links = {run.id: [] for run in layout.of_kind(TrackRun)}
    pairs: list[tuple[TrackJoint | Turnout, PartId, PartId]] = [
        *((j, j.a.run, j.b.run) for j in layout.of_kind(TrackJoint)),
        *((t, t.on.run, t.leg.run) for t in layout.of_kind(Turnout)),
    ]
    found = [(one, other, is_swapped(link)) for link, one, other in pairs]
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is not None and ties_like_rails(crossing, lie):
            found.append((crossing.a.run, crossing.b.run, lie.swapped))
    for one, other, swapped in found:
        if one in links and other in links:
            links[one].append((other, swapped))
            links[other].append((one, swapped))
    return links


def _spread(run: PartId, side: Side, links: _Links, sides: dict[PartId, Side]) -> None:
    if run in sides or run not in links:
        return
    sides[run] = side
    queue = deque([run])
    while queue:
        here = queue.popleft()
        for other, swapped in links[here]:
            if other not in sides:
                sides[other] = other_side(sides[here]) if swapped else sides[here]
                queue.append(other)
