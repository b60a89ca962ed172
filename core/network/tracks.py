"""The track side of a circuit: rails, joints, gaps, turnouts, crossings and loads."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from core.layout.edits.sides import other_side
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import Meeting
from core.layout.openings import OpeningEdge, edges_of
from core.layout.parts import (
    Drop,
    Gap,
    Load,
    OnRun,
    Opening,
    RunEnd,
    Side,
    Sides,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import joint_positions
from core.layout.rails import measured_of, rail_of
from core.layout.roads import set_road, takes_second
from core.materials.joints import Joint, joint
from core.materials.pair import track_inductance
from core.materials.scales import gauge_m
from core.network.assembly import Assembly
from core.network.circuit import BranchKind, Draw, Frog, Pair, Segment, Stretch
from core.network.crossings import CrossingPlan, plan_crossings
from core.network.frogs import FrogPlan, plan_frogs

_SIDES: tuple[Side, Side] = ("left", "right")

SAME_PLACE_M = 1e-6
"""Two things on a run closer than this are at one place. [m]"""


@dataclass(frozen=True, slots=True)
class _Stop:
    """A place on a run where something happens; joints and gaps part it."""

    position_m: float
    before: Pair
    after: Pair

    def moved(self, by: int) -> "_Stop":
        """Return it with its nodes numbered on."""
        (a, b), (c, d) = self.before, self.after
        return _Stop(self.position_m, (a + by, b + by), (c + by, d + by))


_Stops = tuple[_Stop, ...]


class Tracks:
    """Puts the track of a layout on the bench."""

    def __init__(
        self, layout: Layout, bench: Assembly, thrown: frozenset[PartId]
    ) -> None:
        self._layout = layout
        self._bench = bench
        self._thrown = thrown
        self._crossings = plan_crossings(layout)
        self._frogs = {plan.turnout.id: plan for plan in plan_frogs(layout)}
        self._stops: dict[PartId, _Stops] = {}
        self._places: dict[PartId, list[float]] = {}
        self._gauge = gauge_m(layout.settings.scale)

    def place_runs(self) -> None:
        """Add the rails of each run, parted at joints and gaps."""
        things = self._things()
        cuts: defaultdict[PartId, list[tuple[float, Side]]] = defaultdict(list)
        for gap in self._layout.of_kind(Gap):
            for side in _SIDES:
                if gap.rails in (side, "both") and not gap.bridged:
                    cuts[gap.on.run].append((gap.on.position_m, side))
        for edge in self._edges():
            cuts[edge.run].extend((edge.position_m, side) for side in _SIDES)
        for plan in self._frogs.values():
            for run_id, position, side in plan.cuts():
                cuts[run_id].append((position, side))
        for crossing in self._crossings:
            for run_id, position, side in crossing.cuts():
                cuts[run_id].append((position, side))
        for run in self._layout.of_kind(TrackRun):
            self._put_run(run, things[run.id], cuts[run.id])

    def _edges(self) -> list[OpeningEdge]:
        openings = self._layout.of_kind(Opening)
        return [edge for o in openings for edge in edges_of(self._layout, o)]

    def link_joints(self) -> None:
        """Join run ends to run ends."""
        for track_joint in self._layout.of_kind(TrackJoint):
            a = self._end_pair(track_joint.a)
            b = self._end_pair(track_joint.b)
            if a is None or b is None:
                continue
            if track_joint.a.end == track_joint.b.end:
                b = (b[1], b[0])
            self._join(track_joint.id, a, b, track_joint.joint, track_joint.insulated)

    def link_turnouts(self) -> None:
        """Join the leg of each turnout to the run it leaves, as its crossing is."""
        for turnout in self._layout.of_kind(Turnout):
            toe = self._toe_pair(turnout)
            leg = self._end_pair(turnout.leg)
            if toe is None or leg is None:
                continue
            plan = self._frogs.get(turnout.id)
            if plan is not None:
                self._link_frog(plan, toe)
            if (turnout.opens == "forward") != (turnout.leg.end == "start"):
                toe = (toe[1], toe[0])
            if plan is not None and turnout.frog == "self-powered":
                toe = _with(toe, plan.leg_inner, self._closure(plan))
            self._join(turnout.id, leg, toe, turnout.joint, turnout.leg_insulated)

    def link_crossings(self) -> None:
        """Join what diamonds and slips join, and give live crossings their contacts."""
        for plan in self._crossings:
            for meeting in plan.joined:
                self._bench.connect(
                    BranchKind.JOINT,
                    self._rails_that_meet(plan, meeting),
                    joint("soldered").ohm,
                    of=Stretch(plan.crossing.id),
                )
            for meeting in plan.switched:
                self._switch(plan, meeting)
            for _ in plan.roads:
                self._link_road(plan)

    def _switch(self, plan: CrossingPlan, meeting: Meeting) -> None:
        """Lay the contact of one small crossing on the rail of the road that is set."""
        crossing = plan.crossing.id
        contact = joint("screw")
        of_a, of_b = self._rails_that_meet(plan, meeting)
        piece = self._bench.node(crossing, 0.0, meeting.name, "piece_")
        road = set_road(plan.crossing, plan.lie, self._thrown)
        thrown = takes_second(plan.lie, meeting, road)
        index = self._bench.connect(
            BranchKind.JOINT,
            (of_b if thrown else of_a, piece),
            contact.ohm,
            of=Stretch(crossing),
            spread=spread_of(contact),
        )
        other = of_a if thrown else of_b
        self._bench.frogs.append(Frog(crossing, piece, of_a, of_b, index, other))

    def _link_road(self, plan: CrossingPlan) -> None:
        """Join like rails of both tracks, as the blades of a slip road do."""
        stop_a, stop_b = self._stop_at(plan.crossing.a), self._stop_at(plan.crossing.b)
        assert stop_a is not None, "both tracks were placed"
        assert stop_b is not None, "both tracks were placed"
        far = stop_b.before
        if plan.lie.swapped:
            far = (far[1], far[0])
        part = plan.crossing
        self._join(part.id, stop_a.before, far, part.joint, "none")

    def _rails_that_meet(self, plan: CrossingPlan, meeting: Meeting) -> Pair:
        """Return the nodes of both rails at a meeting, on the side of the middle."""
        nodes: list[int] = []
        for place, ahead, side in (
            (plan.on_a(meeting), meeting.a_ahead, meeting.a_side),
            (plan.on_b(meeting), meeting.b_ahead, meeting.b_side),
        ):
            stop = self._stop_at(place)
            assert stop is not None, "both tracks were placed"
            nodes.append(_of(stop.before if ahead else stop.after, side))
        return nodes[0], nodes[1]

    def hang_loads(self) -> None:
        """Add the active trains and standing loads."""
        for load in self._layout.of_kind(Load):
            place = self.place_at(load.on) if load.active else None
            if place is not None:
                self._bench.draws.append(
                    Draw(*place, amps=load.amps_a, watts=load.watts_w, part=load.id)
                )

    def place_at(self, on: OnRun) -> Pair | None:
        """Return the rails' nodes at a place that was asked for beforehand."""
        stop = self._stop_at(on)
        return stop.before if stop is not None else None

    def _stop_at(self, on: OnRun) -> _Stop | None:
        places = self._places.get(on.run)
        if places is None:
            return None
        return self._stops[on.run][_index(places, min(on.position_m, places[-1]))]

    def _toe_pair(self, turnout: Turnout) -> Pair | None:
        """Return the rails' nodes on the toe's side of the blade tips."""
        stop = self._stop_at(turnout.on)
        if stop is None:
            return None
        return stop.before if turnout.opens == "forward" else stop.after

    def _closure(self, plan: FrogPlan) -> int:
        """Return the node of a self-powered crossing: the closure rail at the toe."""
        stop = self._stop_at(OnRun(run=plan.turnout.on.run, position_m=plan.toe_m))
        assert stop is not None, "the through run was placed"
        return _of(stop.after if plan.ahead else stop.before, plan.inner)

    def _link_frog(self, plan: FrogPlan, toe: Pair) -> None:
        """Give a live crossing its contact, and the rails beyond where not gapped."""
        turnout = plan.turnout
        inner, outer = _of(toe, plan.inner), _of(toe, other_side(plan.inner))
        rail_side = outer if turnout.id in self._thrown else inner
        if turnout.frog == "self-powered":
            frog, contact = self._closure(plan), joint("blade")
        else:
            frog = self._bench.node(turnout.id, 0.0, "frog")
            contact = joint("screw")
        index = self._bench.connect(
            BranchKind.JOINT,
            (rail_side, frog),
            contact.ohm,
            of=Stretch(turnout.id),
            spread=spread_of(contact),
        )
        other = inner if rail_side == outer else outer
        self._bench.frogs.append(Frog(turnout.id, frog, inner, outer, index, other))
        if turnout.frog == "switched" and not turnout.heel_gaps:
            for node in self._beyond(plan):
                self._bench.connect(
                    BranchKind.JOINT,
                    (frog, node),
                    joint("soldered").ohm,
                    of=Stretch(turnout.id),
                )

    def _beyond(self, plan: FrogPlan) -> tuple[int, int]:
        """Return the inner rails' nodes beyond the crossing: through run, leg."""
        turnout = plan.turnout
        here = self._stop_at(OnRun(run=turnout.on.run, position_m=plan.frog_m))
        leg = self._stop_at(OnRun(run=turnout.leg.run, position_m=plan.leg_frog_m))
        assert here is not None, "the through run was placed"
        assert leg is not None, "the leg was placed"
        return (
            _of(here.after if plan.ahead else here.before, plan.inner),
            _of(leg.after if plan.leg_ahead else leg.before, plan.leg_inner),
        )

    def _things(self) -> defaultdict[PartId, list[float]]:
        things: defaultdict[PartId, list[float]] = defaultdict(list)
        for drop in self._layout.of_kind(Drop):
            things[drop.on.run].append(drop.on.position_m)
        for load in self._layout.of_kind(Load):
            if load.active:
                things[load.on.run].append(load.on.position_m)
        for turnout in self._layout.of_kind(Turnout):
            things[turnout.on.run].append(turnout.on.position_m)
        for plan in self._crossings:
            for on in plan.places():
                things[on.run].append(on.position_m)
        return things

    def _put_run(
        self, run: TrackRun, things: list[float], cuts: list[tuple[float, Side]]
    ) -> None:
        """Add the rails of a run, as last time where it and all on it are the same."""
        own = measured_of(self._layout.settings, run.rail)
        facts = (run, tuple(things), tuple(cuts), self._gauge, own)
        make = partial(self._place_run, run, things, cuts)
        stops = self._bench.place(run.id, facts, make, _moved)
        self._stops[run.id] = stops
        self._places[run.id] = [stop.position_m for stop in stops]

    def _place_run(
        self, run: TrackRun, things: list[float], cuts: list[tuple[float, Side]]
    ) -> _Stops:
        length = run_path(run).length_m
        joints = joint_positions(run)
        positions = [0.0, length, *joints, *(p for p, _ in cuts), *things]
        places = _merged(min(p, length) for p in positions)
        parted = {_index(places, p): True for p in joints}
        cut: defaultdict[int, set[str]] = defaultdict(set)
        for position, side in cuts:
            cut[_index(places, min(position, length))].add(side)
        stops = tuple(
            self._place_stop(run, place, joined=parted.get(i, False), cut=cut[i])
            for i, place in enumerate(places)
        )
        for here, there in pairwise(stops):
            self._place_segment(run, here, there)
        return stops

    def _place_stop(
        self, run: TrackRun, place: float, *, joined: bool, cut: set[str]
    ) -> _Stop:
        before = self._bench.rails(run.id, place)
        after = list(before)
        for i, side in enumerate(_SIDES):
            if side in cut:
                after[i] = self._bench.node(run.id, place, side)
            elif joined:
                after[i] = self._bench.node(run.id, place, side)
                self._bench.connect(
                    BranchKind.JOINT,
                    (before[i], after[i]),
                    joint(run.joint).ohm,
                    of=Stretch(run.id, place, place),
                    spread=spread_of(joint(run.joint)),
                )
        return _Stop(place, before, (after[0], after[1]))

    def _place_segment(self, run: TrackRun, here: _Stop, there: _Stop) -> None:
        length = there.position_m - here.position_m
        section = rail_of(self._layout.settings, run.rail)
        ohm = section.ohm_per_m * length
        henry = track_inductance(self._gauge, section) * length
        stretch = Stretch(run.id, here.position_m, there.position_m)
        for ends in zip(here.after, there.before, strict=True):
            self._bench.connect(
                BranchKind.RAIL,
                ends,
                ohm,
                of=stretch,
                henry=0.5 * henry,
                spread=(
                    section.low / section.ohm_per_m,
                    section.high / section.ohm_per_m,
                ),
            )
        self._bench.segments.append(
            Segment(
                run.id,
                here.position_m,
                there.position_m,
                *here.after,
                *there.before,
                ohm_left=ohm,
                ohm_right=ohm,
                henry=henry,
            )
        )

    def _join(
        self, part: PartId, near: Pair, far: Pair, kind: str, insulated: Sides
    ) -> None:
        for i, side in enumerate(_SIDES):
            if insulated not in (side, "both"):
                self._bench.connect(
                    BranchKind.JOINT,
                    (near[i], far[i]),
                    joint(kind).ohm,
                    of=Stretch(part),
                    spread=spread_of(joint(kind)),
                )

    def _end_pair(self, end: RunEnd) -> Pair | None:
        """Return left and right nodes at a run end, outside any gap there."""
        stops = self._stops.get(end.run)
        if stops is None:
            return None
        return stops[0].before if end.end == "start" else stops[-1].after


def _moved(stops: _Stops, by: int) -> _Stops:
    return tuple(stop.moved(by) for stop in stops)


def _of(pair: Pair, side: Side) -> int:
    return pair[0] if side == "left" else pair[1]


def _with(pair: Pair, side: Side, node: int) -> Pair:
    return (node, pair[1]) if side == "left" else (pair[0], node)


def spread_of(kind: Joint) -> tuple[float, float]:
    """Return the band of a joint or contact, as shares of its default."""
    return kind.low / kind.ohm, kind.high / kind.ohm


def _merged(positions: Iterable[float]) -> list[float]:
    places: list[float] = []
    for position in sorted(positions):
        if not places or position - places[-1] > SAME_PLACE_M:
            places.append(position)
    return places


def _index(places: list[float], position_m: float) -> int:
    return min(bisect_left(places, position_m - SAME_PLACE_M), len(places) - 1)
