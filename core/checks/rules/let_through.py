"""W210: a wire that a short heats too far before its protection lets go."""

from collections.abc import Iterator

from core.analysis.probe import find_point
from core.analysis.sound import sound_segments
from core.analysis.study import Study, WireDuty
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Attachment, Bus, Drop, OnRun, ToBus, ToStrip
from core.layout.queries import part_name
from core.materials.heat import K_PVC, let_through_limit
from core.materials.wires import wire
from core.units.figures import show_amps, show_seconds

Kind = tuple[str, PartId]
"""A wire and the device that must clear a fault in it."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each kind of wire that a coin at its far end overheats.

    The fault current is that by resistance, or what the booster can push: for a
    drop on its own rails, for a bus on those of its last drop. Currents under the
    trip, and wires too thin for the trip itself, are W203's.
    """
    sound = sound_segments(study)
    last = _last_drops(study)
    kinds: dict[Kind, list[tuple[float, WireDuty]]] = {}
    for duty in study.wires:
        place = last.get(duty.part)
        if duty.by is None or place is None or duty.by.trip_a > duty.rated_a:
            continue
        point = find_point(study, place)
        if not sound[point.segment]:
            continue
        amps = study.scan.short_at(point.segment, point.t)
        amps = amps if duty.by.limit_a is None else min(amps, duty.by.limit_a)
        bears = let_through_limit(wire(duty.wire).area_mm2)
        if amps >= duty.by.trip_a and amps**2 * duty.by.trip_s > bears:
            kinds.setdefault((duty.wire, duty.by.part), []).append((amps, duty))
    for found in kinds.values():
        yield _finding(study, sorted(found, key=lambda pair: -pair[0]))


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


def _finding(study: Study, found: list[tuple[float, WireDuty]]) -> Finding:
    amps, worst = found[0]
    assert worst.by is not None, "asked only of wires behind a device"
    spool, trip_s = wire(worst.wire), worst.by.trip_s
    passed, bears = amps**2 * trip_s, let_through_limit(spool.area_mm2)
    parts = [duty.part for _, duty in found]
    one = len(parts) == 1
    names = part_name(study.layout, parts[0]) if one else list_names(parts)
    return RULE.finding(
        f"{names} of {spool.label} {'gets' if one else 'get'} too hot in a short: up "
        f"to {show_amps(amps)} for {show_seconds(trip_s)} until {worst.by.part} lets "
        "go.",
        f"I²·t = {passed:.3g} A²s > ({K_PVC:.0f} × {spool.area_mm2:.3g} mm²)² = "
        f"{bears:.3g} A²s",
        "Take a thicker wire, or a device faster than "
        f"{show_seconds(bears / amps**2)}.",
        parts=(*parts, worst.by.part),
        size=passed / bears,
    )


RULE = Rule(
    "W210",
    Severity.HAZARD,
    "Wire overheats in a short",
    source="I²·t ≤ (k·S)², k = 115 for copper in PVC, 70 to 160 °C: IEC 60364-5-54.",
    check=check,
)
