"""The short that each bus and drop must stand until its protection lets go."""

from collections.abc import Sequence

import numpy as np

from core.analysis.probe import find_point
from core.analysis.sound import is_sound, sound_segments
from core.analysis.study import Clearing, Study
from core.layout.ids import PartId
from core.layout.parts import Attachment, Bus, Drop, OnRun, ToBus, ToStrip
from core.network.circuit import BranchKind, Pair


def fault_amps(study: Study) -> dict[PartId, float]:
    """Return the short at the far end of each bus and drop, by part. [A]

    By resistance, or what the booster can push: for a drop on its own rails, for a
    bus on those of its last drop, and where it has none between its wires at its far
    end. What a shorted booster feeds is left out.
    """
    places, sound = _last_drops(study), sound_segments(study)
    found: dict[PartId, float] = {}
    bare: list[PartId] = []
    by: dict[PartId, Clearing] = {}
    for duty in study.wires:
        place = places.get(duty.part)
        if duty.by is None:
            continue
        by[duty.part] = duty.by
        if place is None:
            bare.append(duty.part)
            continue
        point = find_point(study, place)
        if sound[point.segment]:
            amps = study.scan.short_at(point.segment, point.t)
            found[duty.part] = pushed(amps, duty.by)
    for part, amps in _bare_shorts(study, bare).items():
        found[part] = pushed(amps, by[part])
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


def _last_drops(study: Study) -> dict[PartId, OnRun]:
    """Return where each drop feeds, and each bus by the drop farthest along it."""
    at_end = {
        bus.end.part: bus.id
        for bus in study.layout.of_kind(Bus)
        if isinstance(bus.end, ToStrip)
    }
    places: dict[PartId, OnRun] = {}
    farthest: dict[PartId, float] = {}
    for drop in study.layout.of_kind(Drop):
        places[drop.id] = drop.on
        bus, position = _tap(drop.to, at_end)
        if bus is not None and position > farthest.get(bus, -1.0):
            farthest[bus] = position
            places[bus] = drop.on
    return places


def _tap(
    to: Attachment | None, at_end: dict[PartId, PartId]
) -> tuple[PartId | None, float]:
    match to:
        case ToBus(part=bus, position_m=position):
            return bus, position
        case ToStrip(part=strip):
            return at_end.get(strip), float("inf")
        case _:
            return None, 0.0
