"""A study: everything that was worked out about one state of a layout."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.analysis.loads import Drawn, Starved
from core.analysis.nodal import Solution
from core.analysis.scan import Scan
from core.analysis.selected import Factor, Pattern
from core.analysis.shorts import Shorts, Waves
from core.analysis.system import System
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Inline, OnRun, Sensing
from core.network.circuit import Circuit
from core.network.feeds import Feeds
from core.network.polarity import Short

Floats = NDArray[np.float64]
Verdict = Literal["good", "tolerable", "poor", "dead"]
UnfedSides = Literal["left", "right", "both", "same"]
Quantity = Literal["volts", "loop", "short"]


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
        Turnouts set to their leg.
    """

    loads: bool = True
    test_train_a: float | None = None
    thrown: frozenset[PartId] = frozenset()


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

    `limit_a` is that booster's own limit, None where its instructions say none.
    """

    part: PartId
    trip_a: float
    trip_s: float
    sensing: Sensing
    limit_a: float | None = None

    def margin(self, sensed_a: float) -> float:
        """Return a short current, as this device senses it, over its trip current."""
        if self.limit_a is not None:
            sensed_a = min(sensed_a, self.limit_a)
        return sensed_a / self.trip_a


@dataclass(frozen=True, slots=True)
class Racer:
    """One device on the way to a short: what it senses and when it trips.

    `sensed_a` is as this device senses; `trips` whether that is enough.
    """

    part: PartId
    sensed_a: float
    trip_a: float
    trip_s: float
    trips: bool


@dataclass(frozen=True, slots=True)
class Probe:
    """What a point of track gets, with the test train there.

    All figures in the unit that ends the name; None where not worked out.
    `volts_v` is with the standing loads and the test train at this place;
    `standing_v` with the standing loads alone; `source_v` with no load at all.
    `drop_share` is (source_v − volts_v) / source_v. The breakdown sums to
    source_v − volts_v. `margin` is the short current, as the clearing device
    senses it, over its trip current. `race` holds every device on the way to the
    booster, the one that trips first at the head. Low and high come from the
    bands of rail, joints and wire. `limited_by` says what holds the short
    current down; `lazy_w` is the heat of a bad contact that draws just under the
    trip; `notch_s` how long the rails cross over when the current turns at each
    half-bit, an indicator of signal quality and no prediction. `shorted_by` is a
    booster that feeds the place and has its poles joined.
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
    lazy_w: float | None
    notch_s: float
    shorted_by: PartId | None


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
    waves : Waves or None
        Impedances at signal frequency; None where nothing is fed.
    weakest : Shorts or None
        Short-circuit currents at the weakest place of each segment.
    clearing : tuple of Clearing or None
        For each segment, the device that must clear a short there.
    feeds : Feeds
        What stands before each node.
    shorts : tuple of Short
        Boosters whose poles are joined by wire or rail.
    unfed, boosters, devices, wires
        Findings' raw material.
    worst_volts, worst_loop, weakest_short : Extreme or None
        The worst place of each; volts with the test train there, Ω, and the
        margin (short current as sensed over trip current); None where no track
        is fed.
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
    waves: Waves | None
    weakest: Shorts | None
    clearing: tuple[Clearing | None, ...]
    feeds: Feeds
    shorts: tuple[Short, ...]
    unfed: tuple[UnfedStretch, ...]
    boosters: tuple[BoosterDuty, ...]
    devices: tuple[DeviceDuty, ...]
    wires: tuple[WireDuty, ...]
    worst_volts: Extreme | None
    worst_loop: Extreme | None
    weakest_short: Extreme | None

    def clearing_of(self, part: PartId | None) -> Clearing | None:
        """Return the nearest device at or above a part that trips at all."""
        return next(iter(trip_chain(self.layout, self.feeds, part)), None)

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
