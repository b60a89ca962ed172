"""W203: a wire thinner than what protects it allows."""

from collections.abc import Iterator

from core.analysis.study import Study, WireDuty
from core.analysis.together import Together, flow_together
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.materials.wires import Wire, WireSystem, wire, wires_of
from core.units.figures import show_amps, show_watts

Kind = tuple[str, PartId]
"""A wire and the device that must clear a fault in it."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each kind of wire behind each device too big for it.

    Then one for each kind of wire by which more comes back than it carries, from
    districts whose devices are each small enough.
    """
    kinds: dict[Kind, list[WireDuty]] = {}
    joint: dict[tuple[str, Together], list[WireDuty]] = {}
    together = flow_together(study)
    for duty in study.wires:
        if duty.by is not None and duty.by.trip_a > duty.rated_a:
            kinds.setdefault((duty.wire, duty.by.part), []).append(duty)
        elif duty.part in together and together[duty.part].amps_a > duty.rated_a:
            joint.setdefault((duty.wire, together[duty.part]), []).append(duty)
    for duties in kinds.values():
        yield _finding(study, duties)
    for (_, flows), duties in joint.items():
        yield _shared(study, duties, flows)


def _finding(study: Study, duties: list[WireDuty]) -> Finding:
    first = duties[0]
    assert first.by is not None, "only protected wires are looked at"
    thin = wire(first.wire)
    parts = tuple(duty.part for duty in duties)
    trip = first.by.trip_a
    thicker = next_wire(thin, trip)
    heat = trip**2 * 2.0 * thin.ohm_per_m
    smaller = f"a fuse or breaker of {show_amps(thin.amps_a)} or less before it"
    remedy = f"Put {smaller}."
    if thicker is not None:
        remedy = f"Use {thicker.label} or thicker, or put {smaller}."
    return RULE.finding(
        f"{list_names(parts)}: {thin.label} is good for {show_amps(thin.amps_a)}, "
        f"but {first.by.part} lets {show_amps(trip)} through.",
        f"{show_amps(trip)} > {show_amps(thin.amps_a)} ({thin.amps_source}); just "
        f"under the trip each metre of the pair heats with {show_watts(heat)}",
        remedy,
        parts=(*parts, first.by.part),
        size=trip / first.rated_a,
        fix=_thicken(study, parts, thicker),
    )


def _shared(study: Study, duties: list[WireDuty], flows: Together) -> Finding:
    thin = wire(duties[0].wire)
    parts = tuple(duty.part for duty in duties)
    amps, guards = flows.amps_a, [guard.part for guard in flows.guards]
    thicker = next_wire(thin, amps)
    remedy = "Bring each district back by a wire of its own."
    if thicker is not None:
        remedy = f"Use {thicker.label} or thicker, or bring each district back by a "
        remedy += "wire of its own."
    lets = " and ".join(f"{g.part} {show_amps(g.trip_a)}" for g in flows.guards)
    return RULE.finding(
        f"{list_names(parts)}: {thin.label} is good for {show_amps(thin.amps_a)}, but "
        f"what {list_names(guards)} let through comes back by it together: up to "
        f"{show_amps(amps)}.",
        f"{lets}: together {show_amps(amps)} > {show_amps(thin.amps_a)} "
        f"({thin.amps_source})",
        remedy,
        parts=(*parts, *guards),
        size=amps / thin.amps_a,
        fix=_thicken(study, parts, thicker),
    )


def next_wire(thin: Wire, amps_a: float) -> Wire | None:
    """Return the thinnest wire sold alike that carries so many amps."""
    able = [w for w in wires_of(_system(thin)) if w.amps_a >= amps_a]
    return min(able, key=lambda w: (w.area_mm2, _unlike(w, thin)), default=None)


def _system(thin: Wire) -> WireSystem:
    return "mm2" if thin.awg is None else "awg"


def _unlike(other: Wire, thin: Wire) -> int:
    """Rank wires of one size: the same make first, then others as flexible."""
    makes = [w.id.rpartition("-")[2] for w in (other, thin)]
    if makes[0] == makes[1]:
        return 0
    return 1 if thin.stranded and makes[0] == "c5" else 2


def _thicken(
    study: Study, parts: tuple[PartId, ...], thicker: Wire | None
) -> Change | None:
    if thicker is None:
        return None
    label = f"Use {thicker.label} for {list_names(parts, most=3)}"
    return refit(study.layout, parts, label, wire=thicker.id)


RULE = Rule(
    "W203",
    Severity.HAZARD,
    "Wire too thin for its breaker",
    source="NEM 609: size wire for load and length; every conductor is protected by "
    "something not larger than it carries. Ratings: see each wire.",
    check=check,
)
