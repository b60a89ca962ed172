"""W210: a wire that a short heats too far before its protection lets go."""

from collections.abc import Iterator

from core.analysis.probe import find_point
from core.analysis.study import Study, WireDuty
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.spots import sound_segments
from core.layout.parts import Drop
from core.layout.queries import part_name
from core.materials.heat import K_PVC, let_through_limit
from core.materials.wires import wire
from core.units.figures import show_amps, show_seconds


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each drop that a coin on its rails overheats.

    The fault current is that by resistance, or what the booster can push; currents
    under the trip are W203's, which asks what the wire carries for ever.
    """
    sound = sound_segments(study)
    for duty in study.wires:
        drop = study.layout.get(duty.part, Drop)
        if drop is None or duty.by is None:
            continue
        point = find_point(study, drop.on)
        if not sound[point.segment]:
            continue
        amps = study.scan.short_at(point.segment, point.t)
        if duty.by.limit_a is not None:
            amps = min(amps, duty.by.limit_a)
        if amps >= duty.by.trip_a:
            yield from _judge(study, duty, amps, duty.by.trip_s)


def _judge(
    study: Study, duty: WireDuty, amps: float, trip_s: float
) -> Iterator[Finding]:
    assert duty.by is not None, "asked only of wires behind a device"
    spool = wire(duty.wire)
    passed, bears = amps**2 * trip_s, let_through_limit(spool.area_mm2)
    if passed <= bears:
        return
    yield RULE.finding(
        f"{part_name(study.layout, duty.part)} of {spool.label} gets too hot in a "
        f"short: {show_amps(amps)} for {show_seconds(trip_s)} until {duty.by.part} "
        "lets go.",
        f"I²·t = {passed:.3g} A²s > ({K_PVC:.0f} × {spool.area_mm2:.3g} mm²)² = "
        f"{bears:.3g} A²s",
        "Take a thicker wire, or a device faster than "
        f"{show_seconds(bears / amps**2)}.",
        parts=(duty.part, duty.by.part),
        size=passed / bears,
    )


RULE = Rule(
    "W210",
    Severity.HAZARD,
    "Wire overheats in a short",
    source="I²·t ≤ (k·S)², k = 115 for copper in PVC, 70 to 160 °C: IEC 60364-5-54.",
    check=check,
)
