"""A study: everything that was worked out about one state of a layout."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.analysis.lamps import Lamps, chilled, heated, plain_amps
from core.analysis.loads import Drawn, Starved
from core.analysis.nodal import Solution
from core.analysis.ordering import Ints
from core.analysis.passing import Passing
from core.analysis.scan import Scan
from core.analysis.seek import weakest_places
from core.analysis.selected import Factor, Numbers, Pattern
from core.analysis.shares import find_shares
from core.analysis.shorts import OMEGAS, Shorts, Waves, short_currents, solve_waves
from core.analysis.system import System
from core.analysis.tripping import Tripping, Trips
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Inline, OnRun, Sensing
from core.network.circuit import BranchKind, Circuit
from core.network.feeds import Feeds
from core.network.parallel import find_opposed
from core.network.polarity import Short

Floats = NDArray[np.float64]
Verdict = Literal["good", "tolerable", "poor", "dead"]
UnfedSides = Literal["left", "right", "both", "same"]
Quantity = Literal["volts", "loop", "short", "short_dc"]
"""`short` is the margin of the true short current, `short_dc` by resistance alone."""

INSIDE_M = 1e-5
"""How far inside a segment a place is taken, so that it lies on this side. [m]"""


@dataclass(frozen=True, slots=True)
class Case:
    """What is assumed when a layout is studied.

    Attributes
    ----------
    loads : bool
        Whether the placed trains and standing loads draw.
    test_train_a : float or None
        Amps of the train that is tried at every point; None: as in the settings.
    thrown : frozenset of PartId
        Turnouts set to their leg, and crossings not set for their first track, as
        `core.layout.roads` has it.
    opened : frozenset of PartId
        Lift-outs that are out and gates that stand open.
    """

    loads: bool = True
    test_train_a: float | None = None
    thrown: frozenset[PartId] = frozenset()
    opened: frozenset[PartId] = frozenset()


@dataclass(frozen=True, slots=True)
class TrackValues:
    """One quantity along one run, at the places where it bends.

    Attributes
    ----------
    run : PartId
        The run.
    positions_m : float64 array, shape (N,)
        Places from the start of the run, in order. [m]
    values : float64 array, shape (N,)
        The quantity there; nan where no booster reaches. [V, Ω or 1]
    """

    run: PartId
    positions_m: Floats
    values: Floats


@dataclass(frozen=True, slots=True)
class Extreme:
    """The worst place of the whole layout for one quantity."""

    place: OnRun
    value: float


@dataclass(frozen=True, slots=True)
class Loss:
    """One row of a breakdown: volts lost in parts of one kind."""

    kind: str
    volts_v: float
    parts: tuple[PartId, ...]


@dataclass(frozen=True, slots=True)
class Clearing:
    """A device that can clear a short, and what the booster above it can push.

    `limit_a` is that booster's own limit, None where its instructions say none. A
    lamp `holds` a short at `trip_a` and never clears it; it takes `trip_s` to light.
    """

    part: PartId
    trip_a: float
    trip_s: float
    sensing: Sensing
    limit_a: float | None = None
    holds: bool = False

    def margin(self, sensed_a: float) -> float:
        """Return a short current, as this device senses it, over its trip current."""
        if self.limit_a is not None:
            sensed_a = min(sensed_a, self.limit_a)
        return sensed_a / self.trip_a


@dataclass(frozen=True, slots=True)
class Racer:
    """One device on the way to a short: what it senses and when it trips.

    `sensed_a` is as this device senses at first, `then_a` the most once others that
    share it have opened, None where none does; `trips` whether either is enough.
    `opens_s` is when it opens after the short began, None where the short is cleared
    before, or it never does.
    """

    part: PartId
    sensed_a: float
    trip_a: float
    trip_s: float
    trips: bool
    opens_s: float | None = None
    then_a: float | None = None


@dataclass(frozen=True, slots=True)
class Flow:
    """What a part carries with the test train at a place, and what it is good for.

    The larger of its two conductors. [A]
    """

    part: PartId
    amps_a: float
    rated_a: float


Bound = Literal["rated", "trip", "limit"]
"""What a device is made for, trips at, or gives at most."""


@dataclass(frozen=True, slots=True)
class Beyond:
    """A booster or device that cannot give what is drawn.

    `bound_a` is the amps it is made for, trips at or gives at most, as `bound` says;
    what holds first. [A]
    """

    part: PartId
    amps_a: float
    bound: Bound
    bound_a: float

    @property
    def stops(self) -> bool:
        """Whether it cuts off or gives way, so that no volts hold."""
        return self.bound != "rated"


@dataclass(frozen=True, slots=True)
class Probe:
    """What a point of track gets, with the test train there.

    All figures in the unit that ends the name; None where not worked out.
    `volts_v` is with the standing loads and the test train at this place;
    `standing_v` with the standing loads alone; `source_v` with no load at all.
    `drop_share` is (source_v − volts_v) / source_v. The breakdown sums to
    source_v − volts_v. `margin` is the short current, as the clearing device
    senses it, over its trip current: its own part where several feed the place, and
    the worst stage where they open one after the other. `race` holds every device
    that carries any of the short, the one that opens first at the head. Low and high
    come from the bands of rail, joints and wire. `limited_by` says what holds the short
    current down; `lazy_w` is the heat of a bad contact that draws just under the
    trip; `notch_s` how long the rails cross over when the current turns at each
    half-bit, an indicator of signal quality and no prediction. `held_by` is a lamp
    that holds a short here, at `held_a` with `held_w` in it, and `surge_a` what flows
    while it is cold. `shorted_by` is a
    booster that feeds the place and has its poles joined. `drops` tells what drops
    carry with the train here, the most loaded first, as far as they carry anything;
    `devices` the same of what stands before the place, the booster first.
    `starves` holds the loads of constant watts that get none with the train here:
    then nothing is left, `volts_v` is 0 and there is no breakdown. `beyond` names
    the devices before the place that cannot give what is drawn: volts are then what
    they would be if they could. `short_low_a` and `short_high_a` are the band of what
    the clearing device senses, as rms over ones where nothing clears it; the margins'
    band is that over its trip current.
    """

    run: PartId
    track: str
    position_m: float
    fed: bool
    volts_v: float
    standing_v: float
    source_v: float
    test_train_a: float
    loop_ohm: float
    loop_henry: float
    short_dc_a: float
    short_rms_ones_a: float | None
    short_rms_zeros_a: float | None
    short_mean_ones_a: float | None
    short_mean_zeros_a: float | None
    short_peak_a: float | None
    drop_share: float
    breakdown: tuple[Loss, ...]
    cleared_by: PartId | None
    trip_a: float | None
    margin: float | None
    drop_verdict: Verdict
    short_verdict: Verdict
    sentence: str
    volts_low_v: float
    volts_high_v: float
    loop_low_ohm: float
    loop_high_ohm: float
    race: tuple[Racer, ...]
    limited_by: Literal["resistance", "inductance"] | None
    helps: str
    lazy_w: float | None
    notch_s: float
    shorted_by: PartId | None
    drops: tuple[Flow, ...]
    devices: tuple[Flow, ...]
    starves: tuple[Starved, ...]
    beyond: tuple[Beyond, ...]
    held_by: PartId | None
    held_a: float | None
    held_w: float | None
    surge_a: float | None
    short_low_a: float | None
    short_high_a: float | None
    margin_low: float | None
    margin_high: float | None


@dataclass(frozen=True, slots=True)
class UnfedStretch:
    """A stretch of a run where no train can run.

    `sides` says which rail no booster reaches; "same" means that both rails
    hang on one pole.
    """

    run: PartId
    start_m: float
    end_m: float
    sides: UnfedSides


@dataclass(frozen=True, slots=True)
class BoosterDuty:
    """What a booster gives under the standing loads. [A]."""

    part: PartId
    amps_a: float
    rated_a: float
    volts_v: float


@dataclass(frozen=True, slots=True)
class DeviceDuty:
    """What an in-line device carries under the standing loads. [A]."""

    part: PartId
    amps_a: float
    rated_a: float


@dataclass(frozen=True, slots=True)
class WireDuty:
    """What a bus or drop carries, and what protects it.

    `amps_a` is the most in any stretch of it under the standing loads; `by` the
    device that must clear a fault in it, None where nothing stands before it.
    """

    part: PartId
    wire: str
    amps_a: float
    rated_a: float
    by: Clearing | None


@dataclass(frozen=True, slots=True)
class Duties:
    """What boosters, devices and wires carry, and what stands before what.

    Attributes
    ----------
    feeds : Feeds
        What stands before each node.
    clearing : tuple of Clearing or None
        For each segment, the device that must clear a short there.
    unfed, boosters, devices, wires
        Findings' raw material.
    """

    feeds: Feeds
    clearing: tuple[Clearing | None, ...]
    unfed: tuple[UnfedStretch, ...]
    boosters: tuple[BoosterDuty, ...]
    devices: tuple[DeviceDuty, ...]
    wires: tuple[WireDuty, ...]


@dataclass(frozen=True)
class Study:
    """Everything worked out about one state of a layout.

    Attributes
    ----------
    layout : Layout
        The state studied; not to be changed.
    case : Case
        What was assumed.
    circuit, system, pattern, factor
        The equations, kept for questions asked later.
    source, standing : Solution
        Steady state without loads and with the standing ones.
    drawn : Drawn
        What the loads draw.
    scan : Scan
        Every segment of track.
    shorts : tuple of Short
        Boosters whose poles are joined by wire or rail.
    worst_volts, worst_loop : Extreme or None
        The worst place of each; volts with the test train there, and Ω; None
        where no track is fed.
    lamps : tuple of Lamps
        For each segment, the lamp limiters that all of its current passes through.
    find_duties : callable
        Returns the duties; called when they are first asked for.
    passing : Passing or None
        What the diode detectors do at each place; None where there are none.

    Notes
    -----
    What concerns short currents, duties and feeds is worked out when it is first
    asked for: colours by volts need not wait for it.
    """

    layout: Layout
    case: Case
    circuit: Circuit
    system: System
    pattern: Pattern
    factor: Factor
    source: Solution
    standing: Solution
    drawn: Drawn
    scan: Scan
    shorts: tuple[Short, ...]
    worst_volts: Extreme | None
    worst_loop: Extreme | None
    lamps: tuple[Lamps, ...]
    find_duties: Callable[[], Duties]
    passing: Passing | None = None

    @cached_property
    def duties(self) -> Duties:
        """What boosters, devices and wires carry, and what protects what."""
        return self.find_duties()

    @property
    def feeds(self) -> Feeds:
        """What stands before each node."""
        return self.duties.feeds

    @property
    def clearing(self) -> tuple[Clearing | None, ...]:
        """For each segment, the device that must clear a short there."""
        return self.duties.clearing

    @property
    def unfed(self) -> tuple[UnfedStretch, ...]:
        """Where no train can run."""
        return self.duties.unfed

    @property
    def boosters(self) -> tuple[BoosterDuty, ...]:
        """What each booster gives."""
        return self.duties.boosters

    @property
    def devices(self) -> tuple[DeviceDuty, ...]:
        """What each closed in-line device carries."""
        return self.duties.devices

    @property
    def wires(self) -> tuple[WireDuty, ...]:
        """What each bus and drop carries, and what protects it."""
        return self.duties.wires

    @cached_property
    def waves(self) -> Waves | None:
        """Impedances at signal frequency; None where nothing is fed."""
        fed = self.scan.fed.any()
        if not fed or self.passing is None:
            return solve_waves(self.system, self.pattern) if fed else None
        return self.passing.waves(self.pattern)

    def shorts_at(self, segments: Ints, t: Floats, *, cold: bool = False) -> Shorts:
        """Return short-circuit currents at fractions t of segments; 0 where dead.

        Lamps in the way are as hot as the short makes them, or still `cold`.
        """
        scan, dead = self.scan, ~self.scan.fed[segments]
        if self.waves is None:
            impedance = np.ones((len(t), len(OMEGAS)), np.complex128)
        else:
            impedance = self.waves.impedance(segments, t)
            impedance[dead] = 1.0
        volts = (1.0 - t) * scan.driven0[segments] + t * scan.driven1[segments]
        volts = np.where(dead, 0.0, volts)
        if any(self.lamps):
            pairs = zip(segments.tolist(), dead.tolist(), strict=True)
            lamps = [() if out else self.lamps[i] for i, out in pairs]
            impedance = (chilled if cold else heated)(volts, impedance, lamps)
        return short_currents(volts, impedance)

    @cached_property
    def guards(self) -> tuple[Clearing, ...]:
        """Every booster and device that trips and has power, the deepest first."""
        return tuple(guard for guard, _ in self._guards)

    @cached_property
    def tripping(self) -> Tripping | None:
        """Who trips on a short where; None where nothing is fed."""
        if not self.scan.fed.any():
            return None

        def waves() -> Waves:
            assert self.waves is not None, "fed track has waves"
            return self.waves

        edges = np.array([edge for _, edge in self._guards], np.int64)
        number = {guard.part: i for i, guard in enumerate(self.guards)}
        tops = [number.get(self.feeds.chain(g.part)[-1], -1) for g in self.guards]
        shares = find_shares(
            self.system,
            self.scan,
            factor=self.factor,
            source=self.source,
            find_waves=waves,
            edges=edges,
        )
        warm = self._warm if any(self.lamps) else None
        return Tripping(shares, self.guards, np.array(tops, np.int64), warm)

    def _warm(self, segments: Ints, volts: Floats, impedance: Numbers) -> Numbers:
        """Return loops at zero frequency and `OMEGAS` with lamps lit by the short."""
        fed = self.scan.fed
        lamps = [self.lamps[i] if fed[i] else () for i in segments.tolist()]
        found = impedance.copy()
        lit = np.array([bool(own) for own in lamps], np.bool_)
        if not lit.any():
            return found
        amps = plain_amps(volts, impedance[:, 0].real, lamps)
        found[lit, 0] = volts[lit] / amps[lit]
        if found.shape[1] > 1:
            found[:, 1:] = heated(volts, impedance[:, 1:], lamps)
        return found

    @cached_property
    def _guards(self) -> tuple[tuple[Clearing, int], ...]:
        """Each device that trips and its branch, or booster, as edges are numbered."""
        circuit = self.circuit
        devices = circuit.by_kind[BranchKind.DEVICE].tolist()
        edges = [(circuit.branches[i].part, i) for i in devices]
        count = len(circuit.branches)
        edges += [(source.part, count + i) for i, source in enumerate(circuit.sources)]
        found: list[tuple[int, Clearing, int]] = []
        for part, edge in edges:
            chain = trip_chain(self.layout, self.feeds, part)
            if chain and chain[0].part == part and self.system.active[edge]:
                found.append((len(chain), chain[0], edge))
        found.sort(key=lambda own: -own[0])
        return tuple((guard, edge) for _, guard, edge in found)

    def sharers(self, segment: int) -> tuple[PartId, ...]:
        """Return the devices that each carry a part of a short in a segment."""
        found = self.tripping.sharers(segment) if self.tripping is not None else ()
        return tuple(self.guards[i].part for i in found)

    def least_to_trip(self, segments: Ints, t: Floats) -> Floats:
        """Return the least draw at places at which any device trips. [A]

        By resistance alone; infinite where nothing trips.
        """
        if self.tripping is None:
            return np.full(len(t), np.inf)
        return self.tripping.least_amps(segments, t)

    def trips_at(
        self, segments: Ints, t: Floats, *, limits: bool = True, plain: bool = False
    ) -> Trips:
        """Return how surely shorts at fractions t of segments are cleared.

        Where a lamp holds them nothing has to: nan.

        Parameters
        ----------
        limits : bool
            Whether boosters push no more than they say.
        plain : bool
            Whether by resistance alone.
        """
        if self.tripping is None:
            return Trips(np.full(len(t), np.nan), np.full(len(t), -1))
        found = self.tripping.judge(segments, t, limits=limits, plain=plain)
        if not any(self.lamps):
            return found
        own = (self.clearing[i] for i in segments.tolist())
        held = np.array([guard is not None and guard.holds for guard in own], np.bool_)
        margin = np.where(held, np.nan, found.margin)
        return Trips(margin, np.where(held, -1, found.by))

    @cached_property
    def weakest_at(self) -> Floats:
        """The fraction of each segment at which its short is weakest, shape (S,).

        As what clears it senses it; where nothing does, by its mean.
        """
        if self.waves is None or self.tripping is None:
            return np.zeros(len(self.circuit.segments))

        def judge(segments: Ints, t: Floats) -> Floats:
            found = self.trips_at(segments, t, limits=False).margin
            if np.isnan(found).any():
                mean = self.shorts_at(segments, t).sensed("average")
                found = np.where(np.isnan(found), mean, found)
            return found

        return weakest_places(self.scan, self.waves, judge, self.tripping.parted)

    @cached_property
    def weakest(self) -> Shorts | None:
        """Short-circuit currents at the weakest place of each segment."""
        if self.waves is None:
            return None
        return self.shorts_at(np.arange(len(self.weakest_at)), self.weakest_at)

    @cached_property
    def weakest_trips(self) -> Trips:
        """How surely the weakest short of each segment is cleared."""
        return self.trips_at(np.arange(len(self.weakest_at)), self.weakest_at)

    def plain_short_at(self, segment: int, t: float) -> float:
        """Return the short current at a place by resistance alone. [A]"""
        if not self.lamps[segment]:
            return self.scan.short_at(segment, t)
        volts = self.scan.driven_at(segment, t)
        loop = self.scan.short_loop_at(segment, t)
        lamps = [self.lamps[segment]]
        return float(plain_amps(np.array([volts]), np.array([loop]), lamps)[0])

    @cached_property
    def held_volts_v(self) -> float | None:
        """The lowest volts, loads held at what they draw now; None: nothing fed. [V]"""
        fed = self.scan.fed
        lowest = replace(self.scan, hungry=None).lowest_volts()[1]
        return float(lowest[fed].min()) if fed.any() else None

    @cached_property
    def weakest_short(self) -> Extreme | None:
        """The least margin: short current as sensed over trip current."""
        found = (self.weakest_at, self.weakest_trips.margin)
        return find_extreme(self.circuit, self.scan, found, highest=False)

    @cached_property
    def weakest_short_dc(self) -> Extreme | None:
        """The least margin by resistance alone."""
        t = self.scan.lowest_short()[0]
        found = (t, self.trips_at(np.arange(len(t)), t, plain=True).margin)
        return find_extreme(self.circuit, self.scan, found, highest=False)

    def worst(self, quantity: Quantity) -> Extreme | None:
        """Return the worst place for a quantity; None where nothing has it."""
        match quantity:
            case "volts":
                return self.worst_volts
            case "loop":
                return self.worst_loop
            case "short":
                return self.weakest_short
            case "short_dc":
                return self.weakest_short_dc

    def clearing_of(self, part: PartId | None) -> Clearing | None:
        """Return the nearest device at or above a part that trips at all."""
        return next(iter(trip_chain(self.layout, self.feeds, part)), None)

    @cached_property
    def opposed(self) -> tuple[tuple[PartId, PartId], ...]:
        """Pairs of boosters that drive into each other, unlike poles joined."""
        return find_opposed(self.circuit, self.system.islands)

    @cached_property
    def shorted(self) -> tuple[PartId, ...]:
        """Boosters whose current is that of a short, each once.

        Their poles are joined, or are those of another booster the other way round.
        """
        joined = [short.booster for short in self.shorts]
        return tuple(dict.fromkeys((*joined, *(b for p in self.opposed for b in p))))

    @property
    def starved(self) -> tuple[Starved, ...]:
        """Loads that cannot be fed at all."""
        return self.drawn.starved


def trip_chain(
    layout: Layout, feeds: Feeds, part: PartId | None
) -> tuple[Clearing, ...]:
    """Return every device at and above a part that trips, the nearest first."""
    chain = feeds.chain(part) if part is not None else ()
    top = layout.parts.get(chain[-1]) if chain else None
    limit = top.limit_a if isinstance(top, Booster) else None
    found: list[Clearing] = []
    for above in chain:
        device = layout.parts.get(above)
        if not isinstance(device, Booster | Inline) or device.trip_a is None:
            continue
        found.append(
            Clearing(device.id, device.trip_a, device.trip_s, device.sensing, limit)
        )
    return tuple(found)


def find_extreme(
    circuit: Circuit,
    scan: Scan,
    found: tuple[Floats, Floats],
    *,
    highest: bool,
) -> Extreme | None:
    """Return the worst place of all, from one place and value a segment."""
    t, values = found
    usable = scan.fed & np.isfinite(values)
    if not usable.any():
        return None
    ranked = np.where(usable, values, -np.inf if highest else np.inf)
    i = int(ranked.argmax() if highest else ranked.argmin())
    return Extreme(place_in(circuit, i, float(t[i])), float(values[i]))


def place_in(circuit: Circuit, number: int, t: float) -> OnRun:
    """Return the place at fraction t of a segment.

    Where a joint or gap parts the segment from the one before it, its start is
    taken a hair inside, so that a question about the place finds this side of it.
    """
    segment = circuit.segments[number]
    least, most = segment.start_m, segment.end_m
    if number:
        last = circuit.segments[number - 1]
        rails = (segment.left0, segment.right0)
        if last.run == segment.run and (last.left1, last.right1) != rails:
            least = min(least + INSIDE_M, most)
    position = segment.start_m + t * (segment.end_m - segment.start_m)
    return OnRun(run=segment.run, position_m=min(max(position, least), most))
