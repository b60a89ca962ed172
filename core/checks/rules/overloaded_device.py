"""W403: a breaker or other device that carries more than it is made for."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.queries import part_name
from core.units.figures import show_amps


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each overloaded device, outside shorted circuits."""
    if study.shorts:
        return
    for duty in study.devices:
        if duty.amps_a > duty.rated_a:
            yield RULE.finding(
                f"{part_name(study.layout, duty.part)} carries "
                f"{show_amps(duty.amps_a)}; it is made for {show_amps(duty.rated_a)}.",
                f"trains and standing loads behind it: {show_amps(duty.amps_a)} > "
                f"{show_amps(duty.rated_a)}",
                "Split what is behind it in two, or run fewer trains there.",
                parts=(duty.part,),
                size=duty.amps_a / duty.rated_a,
            )


RULE = Rule(
    "W403",
    Severity.FAULT,
    "Device overloaded",
    source="Its rating.",
    check=check,
)
