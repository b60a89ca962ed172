"""The short that each bus and drop must stand until its protection lets go."""

from collections.abc import Mapping, Sequence

import numpy as np

from core.analysis.breakdown import Point, unit_responses
from core.analysis.probe import find_point
from core.analysis.sound import is_sound, sound_segments
from core.analysis.study import Clearing, Study, WireDuty
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, Drop, ToStrip
from core.materials.heat import let_through_limit
from core.materials.wires import wire
from core.network.circuit import BranchKind, Pair

AT_ONCE = 64
"""Places solved together."""


def fault_amps(study: Study) -> dict[PartId, float]:
    """Return the strongest short that runs through each bus and drop, by part. [A]

    A coin is tried on the rails of every drop that a wire feeds, by resistance, or
    what the booster can push; where a bus has no drop, between its wires at its far
    end. What a shorted booster feeds is left out.

    Notes
    -----
    Other ways to the same rails take their part of it. What that leaves in a wire is
    worked out where all of it would harm the wire; elsewhere all of it is given, the
    most that can be.
    """
    points = _points(study)
    found: dict[PartId, float] = {}
    bare: list[PartId] = []
    by: dict[PartId, Clearing] = {}
    doubtful: dict[PartId, list[Point]] = {}
    for duty in study.wires:
        if duty.by is None:
            continue
        by[duty.part] = duty.by
        own = points.get(duty.part)
        if own is None:
            bare.append(duty.part)
        elif own:
            found[duty.part] = max(_short_at(study, p, duty.by) for p in own)
            if _harms(duty, found[duty.part]):
                doubtful[duty.part] = own
    for part, amps in _bare_shorts(study, bare).items():
        found[part] = pushed(amps, by[part])
    return found | _through(study, doubtful, by)


def _harms(duty: WireDuty, amps: float) -> bool:
    assert duty.by is not None, "only what is protected is looked at"
    return amps**2 * duty.by.trip_s > let_through_limit(wire(duty.wire).area_mm2)


def _short_at(study: Study, point: Point, by: Clearing) -> float:
    return pushed(study.plain_short_at(point.segment, point.t), by)


def _through(
    study: Study, asked: Mapping[PartId, list[Point]], by: Mapping[PartId, Clearing]
) -> dict[PartId, float]:
    """Return the most that runs through wires with a coin at one of their places. [A]

    In any stretch and either conductor: its share of the short times the short.
    """
    edges: dict[PartId, list[int]] = {}
    for kind in (BranchKind.BUS, BranchKind.DROP):
        for i in study.circuit.by_kind[kind].tolist():
            part = study.circuit.branches[i].part
            if part in asked:
                edges.setdefault(part, []).append(i)
    wanting: dict[Point, list[PartId]] = {}
    for part, places in asked.items():
        for point in places:
            wanting.setdefault(point, []).append(part)
    every = list(wanting)
    found: dict[PartId, float] = {}
    for first in range(0, len(every), AT_ONCE):
        some = every[first : first + AT_ONCE]
        for point, response in zip(some, unit_responses(study, some), strict=True):
            for part in wanting[point]:
                share = float(np.abs(response.amps[edges[part]]).max())
                whole = _short_at(study, point, by[part])
                # What is under the trip of the device may flow anyhow, for good.
                amps = max(share * whole, min(whole, by[part].trip_a))
                found[part] = max(found.get(part, 0.0), amps)
    return found


def pushed(amps: float, by: Clearing) -> float:
    """Return a short current, or what the booster behind a device can push. [A]"""
    return amps if by.limit_a is None else min(amps, by.limit_a)


def pair_shorts(study: Study, pairs: Sequence[Pair]) -> list[float | None]:
    """Return the short between two nodes, for each pair, by resistance. [A]

    None where there are no volts between them, or a shorted booster feeds them.
    """
    system, sound = study.system, is_sound(study)
    unit = np.zeros((system.size + 1, len(pairs)))
    for column, (a, b) in enumerate(pairs):
        unit[system.row[a], column] += 1.0
        unit[system.row[b], column] -= 1.0
    answer = study.factor.solve(unit[:-1]) if pairs else unit[:-1]
    response = np.vstack([answer, np.zeros((1, len(pairs)))])
    found: list[float | None] = []
    for column, (a, b) in enumerate(pairs):
        own = response[:, column]
        volts = abs(float(study.source.volts[a] - study.source.volts[b]))
        loop = float(own[system.row[a]] - own[system.row[b]])
        live = bool(sound[a] and sound[b]) and volts > 0.0 and loop > 0.0
        found.append(volts / loop if live else None)
    return found


def _bare_shorts(study: Study, buses: Sequence[PartId]) -> dict[PartId, float]:
    """Return the lesser short at the two ends of each bus that no drop is on. [A]"""
    first: dict[tuple[PartId, str], int] = {}
    last: dict[tuple[PartId, str], int] = {}
    branches = study.circuit.branches
    for i in study.circuit.by_kind[BranchKind.BUS].tolist():
        branch = branches[i]
        first.setdefault((branch.part, branch.wire), branch.tail)
        last[branch.part, branch.wire] = branch.head
    ends = [(bus, own) for bus in buses for own in (first, last)]
    pairs = [(own[bus, "A"], own[bus, "B"]) for bus, own in ends]
    found: dict[PartId, float] = {}
    for (bus, _), amps in zip(ends, pair_shorts(study, pairs), strict=True):
        if amps is not None:
            found[bus] = min(found.get(bus, amps), amps)
    return found


def _points(study: Study) -> dict[PartId, list[Point]]:
    """Return where each drop feeds, and each bus by the drops on it or past it.

    Places on track that a shorted booster feeds are left out; what has none left is
    there, but empty.
    """
    sound = sound_segments(study)
    buses = _way_up(study.layout)
    found: dict[PartId, list[Point]] = {}
    for drop in study.layout.of_kind(Drop):
        point = find_point(study, drop.on)
        for part in (drop.id, *_buses_before(study.layout, buses, drop.to)):
            own = found.setdefault(part, [])
            if sound[point.segment]:
                own.append(point)
    return found


def _way_up(layout: Layout) -> dict[PartId, PartId]:
    """Return the bus that ends on each strip."""
    return {
        bus.end.part: bus.id
        for bus in layout.of_kind(Bus)
        if isinstance(bus.end, ToStrip)
    }


def _buses_before(
    layout: Layout, at_end: Mapping[PartId, PartId], to: Attachment | None
) -> list[PartId]:
    """Return the buses from a connection up to the next device, the nearest first."""
    found: list[PartId] = []
    while to is not None:
        part = at_end.get(to.part) if isinstance(to, ToStrip) else to.part
        bus = layout.get(part, Bus) if part is not None else None
        if bus is None or bus.id in found:
            break
        found.append(bus.id)
        to = bus.start
    return found
