"""Districts: each stretch of track by what feeds it, and what that has left to give.

A rail is fed by the drops on its own metal; the wires of a drop come from the last
device before them. Most devices break one conductor only, so of a pair one rail tells
the device and the other one only what stands before it. A rail that runs through
several districts (a common return) tells none of them apart; the other rail does.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from math import inf, isnan
from re import split

from core.analysis.study import BoosterDuty, DeviceDuty, Study
from core.layout.ids import PartId
from core.layout.parts import Booster, Drop, Inline
from core.network.circuit import BranchKind, Segment
from core.network.sections import SAME_PLACE_M
from core.network.sets import Sets

_TRACK = frozenset((BranchKind.RAIL, BranchKind.JOINT))

Feeders = tuple[PartId, ...]
"""The last devices before a rail; more than one where nothing parts them."""


@dataclass(frozen=True, slots=True)
class Headroom:
    """What can still be drawn before a device is at its limit: rated, or trip. [A]"""

    amps_a: float
    by: PartId
    limit_a: float


@dataclass(frozen=True, slots=True)
class District:
    """Track that one device feeds.

    Attributes
    ----------
    number : int
        From 1, in the order of the boosters and what stands behind them.
    feeders : tuple of PartId
        The last device before the track; several where nothing parts them.
    chain : tuple of PartId
        Those and all that stands before them, the booster first.
    length_m : float
        Track in it. [m]
    amps_a : float
        What the standing loads on its track draw. [A]
    headroom : Headroom or None
        The least that is left on the chain under the standing loads; None where a
        short joins the booster's poles.
    reverser : PartId or None
        What turns it.
    """

    number: int
    feeders: Feeders
    chain: tuple[PartId, ...]
    length_m: float
    amps_a: float
    headroom: Headroom | None
    reverser: PartId | None

    @property
    def is_joined(self) -> bool:
        """Whether several feed it, since nothing parts them."""
        return len(self.feeders) > 1


@dataclass(frozen=True, slots=True)
class DistrictStretch:
    """A stretch of a run in one district; 0 where nothing feeds it. [m]"""

    start_m: float
    end_m: float
    number: int


@dataclass(frozen=True, slots=True)
class DistrictPlan:
    """All districts, and where they lie.

    Attributes
    ----------
    districts : tuple of District
        By number.
    runs : mapping of PartId to tuple of DistrictStretch
        Each run from its start to its end.
    of_segment : tuple of int
        The number of each segment of the circuit; 0 where nothing feeds it.
    """

    districts: tuple[District, ...]
    runs: dict[PartId, tuple[DistrictStretch, ...]]
    of_segment: tuple[int, ...]

    def get(self, number: int) -> District | None:
        """Return a district; None for 0."""
        return self.districts[number - 1] if number else None

    def at(self, run: PartId, position_m: float) -> District | None:
        """Return the district of a place; None where nothing feeds it."""
        for stretch in self.runs.get(run, ()):
            if position_m <= stretch.end_m:
                return self.get(stretch.number)
        return None


def find_districts(study: Study) -> DistrictPlan:
    """Return the districts of a layout."""
    feeders = _feeders_of_segments(study)
    order = sorted({own for own in feeders if own}, key=lambda f: _rank(study, f))
    number = {own: i for i, own in enumerate(order, start=1)}
    of_segment = tuple(number.get(own, 0) for own in feeders)
    runs = {
        run: tuple(_stretches(study, which, of_segment))
        for run, which in study.circuit.on_run.items()
    }
    length: defaultdict[int, float] = defaultdict(float)
    for stretches in runs.values():
        for stretch in stretches:
            length[stretch.number] += stretch.end_m - stretch.start_m
    amps = _amps(study, of_segment)
    districts = tuple(
        _district(study, own, number[own], length[number[own]], amps[number[own]])
        for own in order
    )
    return DistrictPlan(districts, runs, of_segment)


def _district(
    study: Study, feeders: Feeders, number: int, length_m: float, amps_a: float
) -> District:
    chains = [tuple(reversed(study.feeds.chain(feeder))) for feeder in feeders]
    chain = tuple(dict.fromkeys(part for own in chains for part in own))
    reverser = next((p for p in chain if _is_reverser(study, p)), None)
    room = _headroom(study, chain)
    return District(number, feeders, chain, length_m, amps_a, room, reverser)


def _is_reverser(study: Study, part: PartId) -> bool:
    device = study.layout.get(part, Inline)
    return device is not None and device.device == "reverser"


def _headroom(study: Study, chain: tuple[PartId, ...]) -> Headroom | None:
    both: list[BoosterDuty | DeviceDuty] = [*study.boosters, *study.devices]
    duties = {duty.part: duty for duty in both}
    found: list[Headroom] = []
    if not set(study.shorted).isdisjoint(chain):
        return None
    for part in chain:
        device, duty = study.layout.parts.get(part), duties.get(part)
        if isinstance(device, Booster | Inline) and duty is not None:
            trip = device.trip_a if device.trip_a is not None else inf
            limit = min(duty.rated_a, trip)
            found.append(Headroom(limit - abs(duty.amps_a), part, limit))
    # Of two that are full at once the one nearer to the track is told.
    return min(reversed(found), key=lambda room: round(room.amps_a, 6), default=None)


def _amps(study: Study, of_segment: tuple[int, ...]) -> defaultdict[int, float]:
    """Return what the loads of each district draw. [A]"""
    circuit = study.circuit
    at: dict[tuple[int, int], int] = {}
    for number, s in zip(of_segment, circuit.segments, strict=True):
        at[s.left1, s.right1] = number
        at.setdefault((s.left0, s.right0), number)
    found: defaultdict[int, float] = defaultdict(float)
    for draw, amps in zip(circuit.draws, study.drawn.amps.tolist(), strict=True):
        found[at[draw.left, draw.right]] += 0.0 if isnan(amps) else amps
    return found


def _feeders_of_segments(study: Study) -> list[Feeders]:
    """Return what feeds each segment; nothing: an empty tuple."""
    circuit = study.circuit
    metal = Sets(len(circuit.nodes))
    for branch in circuit.branches:
        if branch.kind in _TRACK:
            metal.join(branch.tail, branch.head)
    fed: defaultdict[int, set[PartId]] = defaultdict(set)
    for node, feeder in _wires_on_rails(study):
        fed[metal.find(node)].add(feeder)
    shorted = set(study.shorted)
    known: dict[tuple[frozenset[PartId], frozenset[PartId]], Feeders] = {}
    found: list[Feeders] = []
    last: Segment | None = None
    for s in circuit.segments:
        left, right = (frozenset(fed[metal.find(n)]) for n in (s.left0, s.right0))
        if (left, right) not in known:
            known[left, right] = _combined(study, left, right, shorted)
        own = known[left, right]
        # Between the staggered cuts of a double gap the rails are of two districts.
        if last is not None and last.run == s.run and len(own) > 1 and _is_short(s):
            own = found[-1]
        found.append(own)
        last = s
    return found


def _is_short(segment: Segment) -> bool:
    return segment.end_m - segment.start_m <= SAME_PLACE_M + 1e-9


def _wires_on_rails(study: Study) -> Iterator[tuple[int, PartId]]:
    """Yield the rail that each wire of each drop is on, and the last device before."""
    both = {drop.id: drop.rails == "both" for drop in study.layout.of_kind(Drop)}
    for branch in study.circuit.branches:
        if branch.kind is not BranchKind.DROP:
            continue
        feeder = study.feeds.of_node.get(branch.tail)
        if not both[branch.part]:
            # One wire alone may be the one that no device breaks.
            pair = study.circuit.inputs[branch.part]
            feeder = study.feeds.of_pair(*pair) if feeder else feeder
        if feeder is not None:
            yield branch.head, feeder


def _combined(
    study: Study,
    left: frozenset[PartId],
    right: frozenset[PartId],
    shorted: set[PartId],
) -> Feeders:
    """Return what feeds a pair of rails, from what feeds each of them."""
    chain = study.feeds.chain
    if left and right:
        pairs = {
            one if other in chain(one) else other
            for one in left
            for other in right
            if other in chain(one) or one in chain(other)
        }
    else:
        pairs = set(left | right)
    found = pairs or set(left | right)
    # Behind a short both conductors are one metal, and so is what stands before.
    above = {
        up
        for part in found
        for up in chain(part)[1:]
        if not pairs or chain(part)[-1] in shorted
    }
    return tuple(sorted(found - above, key=_natural))


def _stretches(
    study: Study, which: list[int], of_segment: tuple[int, ...]
) -> Iterator[DistrictStretch]:
    """Yield the stretches of a run, from its start to its end."""
    for number, own in groupby(which, key=lambda i: of_segment[i]):
        segments = [study.circuit.segments[i] for i in own]
        yield DistrictStretch(segments[0].start_m, segments[-1].end_m, number)


def _rank(study: Study, feeders: Feeders) -> tuple[object, ...]:
    ways = [[_natural(p) for p in reversed(study.feeds.chain(f))] for f in feeders]
    return (ways[0], len(feeders), ways)


def _natural(part: PartId) -> tuple[tuple[str, int], ...]:
    """Return a key that puts CB2 before CB10."""
    words = split(r"(\d+)", part)
    return tuple(
        (words[i], int(words[i + 1]) if i + 1 < len(words) else -1)
        for i in range(0, len(words), 2)
    )
