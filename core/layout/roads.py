"""How turnouts, diamonds and slips are set, and what throwing one does.

A setting is a set of ids: of the turnouts that are set to their leg, and of the
crossings that are set for their second track. A slip that is set for one of its roads
stands in it by a mark instead, its id and the side of that road.
"""

from collections.abc import Iterable
from typing import Literal

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import Lie, Meeting, lie_of, road_ends, slip_roads
from core.layout.parts import Crossing, Side
from core.layout.queries import can_be_thrown, run_name

Road = Literal["a", "b", "left", "right"]
"""Along the first track, the second, or over by the slip road on that side."""


def road_mark(crossing: PartId, side: Side) -> PartId:
    """Return what stands in a setting for a slip that is set for one of its roads."""
    return PartId(f"{crossing} {side}")


def part_of(mark: PartId) -> PartId:
    """Return the part that an id in a setting means."""
    return PartId(mark.partition(" ")[0])


def set_road(crossing: Crossing, lie: Lie, setting: frozenset[PartId]) -> Road:
    """Return the way that a crossing is set for."""
    for side in slip_roads(crossing, lie):
        if road_mark(crossing.id, side) in setting:
            return side
    return "b" if crossing.id in setting else "a"


def takes_second(lie: Lie, meeting: Meeting, road: Road) -> bool:
    """Return whether a live crossing takes its pole from the second track.

    On a slip road a train leaves one track at its end of the road and runs on the
    other at the other end: each end's crossing takes its pole from the track there.
    """
    if road in ("a", "b"):
        return road == "b"
    a_ahead, _ = road_ends(lie, "left" if road == "left" else "right")
    return meeting.a_ahead != a_ahead


def thrown_on(
    layout: Layout, setting: frozenset[PartId], ids: Iterable[PartId]
) -> frozenset[PartId]:
    """Return the setting after some parts were thrown once.

    A turnout or diamond goes over and back; a slip goes on to its next way: along
    its first track, over by its roads, along its second.
    """
    after = set(setting)
    for part_id in ids:
        if not can_be_thrown(layout, part_id):
            continue
        ways = _ways(layout, part_id)
        now = next((i for i, way in enumerate(ways) if way in after), -1)
        after -= set(ways)
        if now + 1 < len(ways):
            after.add(ways[now + 1])
    return frozenset(after)


def still_thrown(layout: Layout, setting: frozenset[PartId]) -> frozenset[PartId]:
    """Return what of a setting there is yet: without what was deleted or altered."""
    return frozenset(
        mark
        for mark in setting
        if can_be_thrown(layout, part_of(mark)) and mark in _ways(layout, part_of(mark))
    )


def setting_words(layout: Layout, part_id: PartId, setting: frozenset[PartId]) -> str:
    """Return for which way a crossing is set, as "set for Siding"; empty for others."""
    crossing = layout.get(part_id, Crossing)
    lie = lie_of(layout, crossing) if crossing is not None else None
    if crossing is None or lie is None:
        return ""
    road = set_road(crossing, lie, setting)
    if road in ("a", "b"):
        on = crossing.a if road == "a" else crossing.b
        return f"set for {run_name(layout, on.run)}"
    which = "its slip" if crossing.shape == "single slip" else f"its {road} slip"
    return f"set for {which}"


def _ways(layout: Layout, part_id: PartId) -> tuple[PartId, ...]:
    """Return the marks of the ways that a part can be thrown to, in order."""
    crossing = layout.get(part_id, Crossing)
    lie = lie_of(layout, crossing) if crossing is not None else None
    if crossing is None or lie is None:
        return (part_id,)
    roads = tuple(road_mark(part_id, side) for side in slip_roads(crossing, lie))
    return (*roads[:1], part_id, *roads[1:])
