"""Track that a train has still before it when it runs up to a place.

Walked outwards from the place: at a turnout a train goes from the toe to either way
and from a way to the toe, never from one way to the other, and the same backwards.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, road_ends, slip_roads
from core.layout.parts import Crossing, OnRun, RunEnd, TrackJoint, TrackRun, Turnout

Seat = tuple[PartId, float, int]
"""A run, a place on it and which way one walks it: 1 to its end. [m]"""

SAME_M = 1e-9


@dataclass(frozen=True, slots=True)
class Reach:
    """A stretch of a run that the walk passes.

    `near_m` is where it is entered, `far_m` where it is left, as positions on the
    run; `gone_m` how far the walk has come when it enters. [m]
    """

    run: PartId
    near_m: float
    far_m: float
    gone_m: float

    @property
    def low_m(self) -> float:
        """The end nearer to the run's start."""
        return min(self.near_m, self.far_m)

    @property
    def high_m(self) -> float:
        """The end nearer to the run's end."""
        return max(self.near_m, self.far_m)

    def gone_at(self, position_m: float) -> float:
        """Return how far a place of it is from where the walk began. [m]"""
        return self.gone_m + abs(position_m - self.near_m)


def find_approach(
    layout: Layout, on: OnRun, facing: int, most_m: float
) -> tuple[Reach, ...]:
    """Return all track within a length of a place, one way, for a train.

    Parameters
    ----------
    on : OnRun
        Where the walk begins.
    facing : int
        1 to walk towards the end of the run first, -1 towards its start.
    most_m : float
        How far. [m]

    Returns
    -------
    tuple of Reach
        Nearest first. Where two ways lead to a place, it may stand in two.
    """
    exits = _exits(layout)
    lengths = {run.id: run_path(run).length_m for run in layout.of_kind(TrackRun)}
    queue: list[tuple[float, Seat]] = [(0.0, (on.run, on.position_m, facing))]
    seen: dict[tuple[PartId, int], list[tuple[float, float]]] = {}
    found: list[Reach] = []
    while queue:
        gone, (run, position, way) = heappop(queue)
        begun = seen.setdefault((run, way), [])
        if run not in lengths or _is_passed(begun, way, position, gone):
            continue
        end = lengths[run] if way > 0 else 0.0
        far = position + way * min(abs(end - position), max(most_m - gone, 0.0))
        found.append(Reach(run, position, far, gone))
        begun.append((position, gone))
        for place, needed, to in exits[run]:
            ahead = way * (place - position)
            if needed == way and ahead >= -SAME_M and gone + ahead < most_m - SAME_M:
                heappush(queue, (gone + ahead, to))
    return tuple(found)


def _is_passed(
    begun: list[tuple[float, float]], way: int, position: float, gone: float
) -> bool:
    """Return whether an earlier walk passes a place the same way, and no later."""
    return any(
        way * (position - start) >= -SAME_M
        and before + abs(position - start) <= gone + SAME_M
        for start, before in begun
    )


def _exits(
    layout: Layout,
) -> defaultdict[PartId, list[tuple[float, int, Seat]]]:
    """Return where each run can be left: place, needed way, and where one is then."""
    exits: defaultdict[PartId, list[tuple[float, int, Seat]]] = defaultdict(list)
    for here, there in _links(layout):
        for (run, place, way), (other, start, back) in ((here, there), (there, here)):
            exits[run].append((place, way, (other, start, -back)))
    return exits


def _links(layout: Layout) -> Iterator[tuple[Seat, Seat]]:
    """Yield the two sides of each link, each walked towards the link."""
    for joint in layout.of_kind(TrackJoint):
        a, b = _end_seat(layout, joint.a), _end_seat(layout, joint.b)
        if a is not None and b is not None:
            yield a, b
    for turnout in layout.of_kind(Turnout):
        leg = _end_seat(layout, turnout.leg)
        if leg is not None:
            way = 1 if turnout.opens == "forward" else -1
            yield (turnout.on.run, turnout.on.position_m, way), leg
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is None:
            continue
        for side in slip_roads(crossing, lie):
            a_ahead, b_ahead = road_ends(lie, side)
            yield (
                (crossing.a.run, crossing.a.position_m, -1 if a_ahead else 1),
                (crossing.b.run, crossing.b.position_m, -1 if b_ahead else 1),
            )


def _end_seat(layout: Layout, end: RunEnd) -> Seat | None:
    run = layout.get(end.run, TrackRun)
    if run is None:
        return None
    at_end = end.end == "end"
    return run.id, run_path(run).length_m if at_end else 0.0, 1 if at_end else -1
