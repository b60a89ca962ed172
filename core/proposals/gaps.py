"""Where to cut a reversing path: two double gaps, and the section between them."""

from dataclasses import dataclass

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of
from core.layout.parts import (
    PREFIXES,
    Crossing,
    Drop,
    Gap,
    Load,
    OnRun,
    TrackRun,
    Turnout,
)
from core.network.reversing import Hop, ReversingPath
from core.network.ways import Step

CLEAR_M = 0.15
"""A gap keeps this far from blades, crossings and run ends.

Common practice, no source: a gap right behind the blades is bridged by wheels that
stand on the turnout.
"""

MARGIN_M = 0.1
"""The section is to be this much longer than the longest train (house choice). [m]"""


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Two double gaps on one run and what they make.

    Attributes
    ----------
    first, second : OnRun
        Where both rails are to be cut.
    length_m : float
        Length of the section between them. [m]
    longest_train_m : float
        The longest train of the layout. [m]
    """

    first: OnRun
    second: OnRun
    length_m: float
    longest_train_m: float

    @property
    def long_enough(self) -> bool:
        """Whether the longest train fits, with the margin."""
        return self.length_m >= self.longest_train_m + MARGIN_M


def plan_cut(layout: Layout, path: ReversingPath) -> CutPlan:
    """Return the best place for two double gaps on a reversing path.

    The longest stretch of one run without a turnout or crossing on it is taken, held
    clear of what lies at its ends: the section is then as long as that way allows.

    Raises
    ------
    EditError
        No stretch of the path is long enough for two gaps at all.
    """
    free = [stretch for hop in path.hops for stretch in _free_stretches(layout, hop)]
    low, high, run = max(
        free, key=lambda s: s[1] - s[0], default=(0.0, 0.0, PartId(""))
    )
    if high - low <= CLEAR_M:
        raise EditError(
            "No stretch of this way is long enough for two gaps.",
            "Draw more track between its turnouts.",
        )
    trains = (load.length_m for load in layout.of_kind(Load) if load.use == "train")
    return CutPlan(
        OnRun(run=run, position_m=low),
        OnRun(run=run, position_m=high),
        high - low,
        max(trains, default=0.0),
    )


def second_cut(layout: Layout, path: ReversingPath) -> tuple[OnRun, ...]:
    """Return where a path that is cut once is to be cut again; empty without room.

    It is the end of its longest free stretch that lies further from the first cut.
    """
    try:
        plan = plan_cut(layout, path)
    except EditError:
        return ()
    before = path.hops[: path.links.index(path.gaps[0])]
    gone = sum(hop.length_m for hop in before)

    def away(place: OnRun) -> float:
        apart = abs(_along(path, place) - gone)
        return min(apart, path.length_m - apart)

    return (max((plan.first, plan.second), key=away),)


def middle_cut(layout: Layout, steps: tuple[Step, ...]) -> OnRun | None:
    """Return a place for a double gap on a way, as near its middle as turnouts allow.

    None where the way has no track, or none that is clear of turnouts.
    """
    hops = [
        Hop(step.part, step.start_m, step.end_m)
        for step in steps
        if layout.get(step.part, TrackRun) is not None
    ]
    half, gone = 0.5 * sum(hop.length_m for hop in hops), 0.0
    found: list[tuple[float, OnRun]] = []
    for hop in hops:
        ahead = 1.0 if hop.to_m >= hop.from_m else -1.0
        wish = hop.from_m + ahead * (half - gone)
        for low, high, run in _free_stretches(layout, hop):
            place = min(max(wish, low), high)
            found.append((abs(place - wish), OnRun(run=run, position_m=place)))
        gone += hop.length_m
    return min(found, key=lambda pair: pair[0], default=(0.0, None))[1]


def _along(path: ReversingPath, place: OnRun) -> float:
    """Return how far along a path a place on it lies. [m]"""
    gone = 0.0
    for hop in path.hops:
        low, high = sorted((hop.from_m, hop.to_m))
        if hop.run == place.run and low <= place.position_m <= high:
            return gone + abs(place.position_m - hop.from_m)
        gone += hop.length_m
    return gone


def cut_path(layout: Layout, plan: CutPlan) -> Change:
    """Return the change that cuts both rails at the two places of a plan."""
    draft = Draft(layout)
    for place in (plan.first, plan.second):
        draft.put(Gap(id=draft.new_id(PREFIXES["gap"]), on=place, note="reversing"))
    return draft.change("Cut a reversing section")


def drops_inside(layout: Layout, plan: CutPlan) -> tuple[PartId, ...]:
    """Return the drops between the two gaps, which must go to the reverser."""
    low, high = plan.first.position_m, plan.second.position_m
    return tuple(
        drop.id
        for drop in layout.of_kind(Drop)
        if drop.on.run == plan.first.run and low < drop.on.position_m < high
    )


def _free_stretches(layout: Layout, hop: Hop) -> list[tuple[float, float, PartId]]:
    """Return the stretches of a hop clear of turnouts, crossings and its ends."""
    low, high = sorted((hop.from_m, hop.to_m))
    blocks: list[tuple[float, float]] = []
    for turnout in layout.of_kind(Turnout):
        if turnout.on.run == hop.run:
            toe = turnout.on.position_m
            far = toe + (
                turnout.lead_m if turnout.opens == "forward" else -turnout.lead_m
            )
            blocks.append((min(toe, far), max(toe, far)))
        if turnout.leg.run == hop.run:
            blocks.append(_leg_block(layout, turnout))
    blocks += _crossing_blocks(layout, hop)
    found: list[tuple[float, float, PartId]] = []
    start = low + CLEAR_M
    for first, last in sorted(blocks):
        if last <= low or first >= high:
            continue
        found.append((start, first - CLEAR_M, hop.run))
        start = max(start, last + CLEAR_M)
    found.append((start, high - CLEAR_M, hop.run))
    return [stretch for stretch in found if stretch[1] > stretch[0]]


def _crossing_blocks(layout: Layout, hop: Hop) -> list[tuple[float, float]]:
    """Return the stretches of a hop's run that are diamonds or slips. [m]"""
    found: list[tuple[float, float]] = []
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is None:
            continue
        if crossing.a.run == hop.run:
            places = [meeting.a_m for meeting in lie.meetings]
            found.append((min(places), max(places)))
        if crossing.b.run == hop.run:
            places = [meeting.b_m for meeting in lie.meetings]
            found.append((min(places), max(places)))
    return found


def _leg_block(layout: Layout, turnout: Turnout) -> tuple[float, float]:
    """Return the stretch of a leg's run that is the turnout itself. [m]"""
    if turnout.leg.end == "start":
        return 0.0, turnout.lead_m
    length = run_path(layout.need(turnout.leg.run, TrackRun)).length_m
    return length - turnout.lead_m, length
