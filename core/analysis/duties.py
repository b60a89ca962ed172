"""What boosters, devices and wires carry, what protects them, what is not fed."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from core.analysis.lamps import Lamps, filament_of
from core.analysis.nodal import Solution
from core.analysis.scan import Scan
from core.analysis.study import (
    BoosterDuty,
    Clearing,
    DeviceDuty,
    Duties,
    UnfedSides,
    UnfedStretch,
    WireDuty,
    trip_chain,
)
from core.analysis.system import System
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, Inline
from core.layout.queries import rated_amps
from core.materials.filament import WARM_S, amps_through
from core.materials.wires import wire
from core.network.circuit import BranchKind, Circuit, Pair, Segment
from core.network.feeds import Feeds, find_feeds


def find_duties(
    layout: Layout,
    system: System,
    scan: Scan,
    standing: Solution,
    lamps: tuple[Lamps, ...],
) -> Duties:
    """Return all duties under the standing loads."""
    circuit = system.circuit
    feeds = find_feeds(circuit)
    return Duties(
        feeds=feeds,
        clearing=segment_clearing(layout, circuit, feeds, lamps),
        unfed=unfed_stretches(system, scan),
        boosters=booster_duties(layout, system, standing),
        devices=device_duties(layout, circuit, standing),
        wires=wire_duties(layout, circuit, standing, feeds),
    )


def clearing_of(layout: Layout, feeds: Feeds, part: PartId | None) -> Clearing | None:
    """Return the nearest device at or above a part that trips at all."""
    return next(iter(trip_chain(layout, feeds, part)), None)


def guard_of(layout: Layout, feeds: Feeds, part: PartId | None) -> Clearing | None:
    """Return what bounds the current of a short: what trips, or a lamp before that.

    A device that trips only above what a lamp before it lets through does not count.
    """
    lamp = _lamp_above(layout, feeds, part)
    if lamp is None:
        return clearing_of(layout, feeds, part)
    held = Clearing(lamp.id, held_amps(layout, feeds, lamp), WARM_S, "rms", holds=True)
    below = feeds.chain(part)[: feeds.chain(part).index(lamp.id)] if part else ()
    for device in trip_chain(layout, feeds, part):
        if device.part in below and device.trip_a < held.trip_a:
            return device
    return held


def held_amps(layout: Layout, feeds: Feeds, lamp: Inline) -> float:
    """Return what a lamp lets through for good with its output shorted. [A]

    Behind its booster alone: longer wires leave it less.
    """
    booster = layout.get(feeds.chain(lamp.id)[-1], Booster)
    if booster is None:
        return lamp.lamp_a
    ohm = booster.inner_ohm + lamp.series_ohm
    volts = np.array([booster.volts_v])
    return float(amps_through([filament_of(lamp)], volts, np.array([ohm]))[0])


def _lamp_above(layout: Layout, feeds: Feeds, part: PartId | None) -> Inline | None:
    for above in feeds.chain(part) if part is not None else ():
        device = layout.get(above, Inline)
        if device is not None and device.device == "lamp":
            return device
    return None


def segment_clearing(
    layout: Layout, circuit: Circuit, feeds: Feeds, lamps: tuple[Lamps, ...]
) -> tuple[Clearing | None, ...]:
    """Return for each segment what must clear a short there, or holds it."""
    known: dict[tuple[PartId | None, bool], Clearing | None] = {}
    found: list[Clearing | None] = []
    for segment, own in zip(circuit.segments, lamps, strict=True):
        part = feeds.of_pair(segment.left0, segment.right0)
        key = part, bool(own)
        if key not in known:
            known[key] = (guard_of if own else clearing_of)(layout, feeds, part)
        found.append(known[key])
    return tuple(found)


def booster_duties(
    layout: Layout, system: System, standing: Solution
) -> tuple[BoosterDuty, ...]:
    """Return what each booster gives."""
    offset = len(system.circuit.branches)
    found: list[BoosterDuty] = []
    for i, source in enumerate(system.circuit.sources):
        booster = layout.need(source.part, Booster)
        amps = float(standing.amps[offset + i])
        found.append(BoosterDuty(source.part, amps, booster.rated_a, booster.volts_v))
    return tuple(found)


def device_duties(
    layout: Layout, circuit: Circuit, standing: Solution
) -> tuple[DeviceDuty, ...]:
    """Return what each closed in-line device carries."""
    found: list[DeviceDuty] = []
    for i, branch in enumerate(circuit.branches):
        if branch.kind is BranchKind.DEVICE:
            device = layout.need(branch.part, Inline)
            amps = abs(float(standing.amps[i]))
            found.append(DeviceDuty(device.id, amps, rated_amps(device)))
    return tuple(found)


def wire_duties(
    layout: Layout, circuit: Circuit, standing: Solution, feeds: Feeds
) -> tuple[WireDuty, ...]:
    """Return what each bus and drop carries and what protects it."""
    most: dict[PartId, float] = {}
    before = {**bus_starts(circuit), **circuit.inputs}
    for i, branch in enumerate(circuit.branches):
        if branch.kind in (BranchKind.BUS, BranchKind.DROP):
            amps = abs(float(standing.amps[i]))
            most[branch.part] = max(most.get(branch.part, 0.0), amps)
    single = _single_leads(layout, circuit)
    found: list[WireDuty] = []
    for part_id, amps in most.items():
        part = layout.parts[part_id]
        assert isinstance(part, Bus | Drop)
        pair = single.get(part_id, before[part_id])
        by = guard_of(layout, feeds, feeds.of_pair(*pair))
        found.append(WireDuty(part_id, part.wire, amps, wire(part.wire).amps_a, by))
    return tuple(found)


def _single_leads(layout: Layout, circuit: Circuit) -> dict[PartId, Pair]:
    """Return the rails at each drop that feeds one of them alone.

    It carries what the device before that track lets through, wherever it hangs.
    """
    single = {drop.id for drop in layout.of_kind(Drop) if drop.rails != "both"}
    if not single:
        return {}
    rails: dict[int, Pair] = {}
    for left0, right0, left1, right1 in circuit.ends.tolist():
        for pair in ((left0, right0), (left1, right1)):
            for node in pair:
                rails.setdefault(node, pair)
    found: dict[PartId, Pair] = {}
    for i in circuit.by_kind[BranchKind.DROP].tolist():
        branch = circuit.branches[i]
        if branch.part in single and branch.head in rails:
            found[branch.part] = rails[branch.head]
    return found


def bus_starts(circuit: Circuit) -> dict[PartId, Pair]:
    """Return the nodes A and B at the start of each bus."""
    found: dict[tuple[PartId, str], int] = {}
    for branch in circuit.branches:
        if branch.kind is BranchKind.BUS:
            found.setdefault((branch.part, branch.wire), branch.tail)
    return {
        bus: (node, found[bus, "B"]) for (bus, w), node in found.items() if w == "A"
    }


def unfed_stretches(system: System, scan: Scan) -> tuple[UnfedStretch, ...]:
    """Return the stretches of track where no train can run, joined end to end."""
    found: list[UnfedStretch] = []
    for segment, sides in _unfed_segments(system, scan.fed):
        last = found[-1] if found else None
        if (
            last is not None
            and last.run == segment.run
            and last.sides == sides
            and last.end_m == segment.start_m
        ):
            found[-1] = UnfedStretch(last.run, last.start_m, segment.end_m, sides)
        else:
            found.append(
                UnfedStretch(segment.run, segment.start_m, segment.end_m, sides)
            )
    return tuple(found)


def _unfed_segments(
    system: System, fed: NDArray[np.bool_]
) -> Iterator[tuple[Segment, UnfedSides]]:
    live = system.islands.live
    for i, segment in enumerate(system.circuit.segments):
        if fed[i]:
            continue
        left, right = bool(live[segment.left0]), bool(live[segment.right0])
        if left and right:
            yield segment, "same"
        elif left:
            yield segment, "right"
        elif right:
            yield segment, "left"
        else:
            yield segment, "both"
