"""Which rail is which along joined track: left stays left, or swaps."""

from collections import deque

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, Side, TrackJoint, Turnout, Turntable
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

    The nearest run with a drop decides, counted in joints and turnouts; on a
    run with several the nearest drop. Without any drop: left. The bridge of a
    turntable counts as joined to its stalls, by what its ring makes of it there.
    """
    near: dict[PartId, list[tuple[PartId, bool]]] = {}
    for joint in layout.of_kind(TrackJoint):
        swapped = is_swapped(joint)
        near.setdefault(joint.a.run, []).append((joint.b.run, swapped))
        near.setdefault(joint.b.run, []).append((joint.a.run, swapped))
    for turnout in layout.of_kind(Turnout):
        swapped = is_swapped(turnout)
        near.setdefault(turnout.on.run, []).append((turnout.leg.run, swapped))
        near.setdefault(turnout.leg.run, []).append((turnout.on.run, swapped))
    for table in layout.of_kind(Turntable):
        always = is_swapping(table) or not turns_round(table)
        for place in (positions if always else standing_at)(layout, table):
            turned = place.crossed != place.swapped
            near.setdefault(table.bridge, []).append((place.stall.run, turned))
            near.setdefault(place.stall.run, []).append((table.bridge, turned))
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
