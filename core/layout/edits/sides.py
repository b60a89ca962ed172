"""Which rail is which along joined track: left stays left, or swaps."""

from collections import deque
from collections.abc import Iterator

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, ties_like_rails
from core.layout.parts import Crossing, OnRun, Side, TrackJoint, Turnout, Turntable
from core.layout.queries import drops_on
from core.layout.turntables import is_swapping, positions, standing_at, turns_round


def other_side(side: Side) -> Side:
    """Return the rail opposite."""
    return "right" if side == "left" else "left"


def is_swapped(link: TrackJoint | Turnout) -> bool:
    """Return whether the left rail of one run goes on as the right of the other.

    Runs that meet end to end or start to start were drawn against each other.
    """
    if isinstance(link, TrackJoint):
        return link.a.end == link.b.end
    return (link.opens == "forward") != (link.leg.end == "start")


def suggest_a_rail(layout: Layout, on: OnRun) -> Side:
    """Return the rail that conductor A belongs on, to fit the drops around.

    The nearest run with a drop decides, counted in joints, turnouts, slips and
    crossings that join like rails; on a run with several the nearest drop. Without
    any drop: left. The bridge of a turntable counts as joined to its stalls, by what
    its ring makes of it there.
    """
    near: dict[PartId, list[tuple[PartId, bool]]] = {}
    for one, other, swapped in _joined(layout):
        near.setdefault(one, []).append((other, swapped))
        near.setdefault(other, []).append((one, swapped))
    seen = {on.run}
    queue = deque([(on.run, False)])
    while queue:
        run, turned = queue.popleft()
        drops = drops_on(layout, run)
        if drops:
            here = on.position_m if run == on.run else 0.0
            best = min(drops, key=lambda d: abs(d.on.position_m - here))
            return other_side(best.a_rail) if turned else best.a_rail
        for other, swapped in near.get(run, []):
            if other not in seen:
                seen.add(other)
                queue.append((other, turned != swapped))
    return "left"


def _joined(layout: Layout) -> Iterator[tuple[PartId, PartId, bool]]:
    """Yield the runs that are joined, and whether left goes on as right."""
    for joint in layout.of_kind(TrackJoint):
        yield joint.a.run, joint.b.run, is_swapped(joint)
    for turnout in layout.of_kind(Turnout):
        yield turnout.on.run, turnout.leg.run, is_swapped(turnout)
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is not None and ties_like_rails(crossing, lie):
            yield crossing.a.run, crossing.b.run, lie.swapped
    for table in layout.of_kind(Turntable):
        always = is_swapping(table) or not turns_round(table)
        for place in (positions if always else standing_at)(layout, table):
            yield table.bridge, place.stall.run, place.crossed != place.swapped
