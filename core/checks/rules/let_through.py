"""W210: a wire that a short heats too far before its protection lets go."""

from collections.abc import Iterator

from core.analysis.study import Study, WireDuty
from core.checks.faults import fault_amps
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.queries import part_name
from core.materials.heat import K_PVC, let_through_limit
from core.materials.wires import wire
from core.units.figures import show_amps, show_seconds

Kind = tuple[str, PartId]
"""A wire and the device that must clear a fault in it."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each kind of wire that a short past it overheats.

    The current is that of `fault_amps`. Currents under the trip, and wires too thin
    for the trip itself, are W203's.
    """
    faults = fault_amps(study)
    kinds: dict[Kind, list[tuple[float, WireDuty]]] = {}
    for duty in study.wires:
        amps = faults.get(duty.part)
        if duty.by is None or amps is None or duty.by.trip_a > duty.rated_a:
            continue
        bears = let_through_limit(wire(duty.wire).area_mm2)
        if amps >= duty.by.trip_a and amps**2 * duty.by.trip_s > bears:
            kinds.setdefault((duty.wire, duty.by.part), []).append((amps, duty))
    for found in kinds.values():
        yield _finding(study, sorted(found, key=lambda pair: -pair[0]))


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
