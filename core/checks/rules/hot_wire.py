"""W204: a wire that the standing loads load beyond its rating."""

from collections.abc import Iterator

from core.analysis.sound import shorted_parts
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Drop
from core.layout.queries import part_name
from core.materials.wires import wire
from core.units.figures import show_amps


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each overloaded wire, outside shorted circuits."""
    shorted = shorted_parts(study)
    for duty in study.wires:
        if duty.amps_a <= duty.rated_a or duty.part in shorted:
            continue
        part = study.layout.parts[duty.part]
        spool = wire(duty.wire)
        yield RULE.finding(
            f"{part_name(study.layout, duty.part)} carries {show_amps(duty.amps_a)} "
            f"all the time; {spool.label} is good for {show_amps(duty.rated_a)}.",
            f"{show_amps(duty.amps_a)} > {show_amps(duty.rated_a)} "
            f"({spool.amps_source})",
            "Use thicker wire, or share the load out over more feeders.",
            parts=(duty.part,),
            place=part.on if isinstance(part, Drop) else None,
            size=duty.amps_a / duty.rated_a,
        )


RULE = Rule(
    "W204",
    Severity.HAZARD,
    "Wire overloaded",
    source="The steady rating of each wire, with its own source in the wire table.",
    check=check,
)
