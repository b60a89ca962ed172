"""W403: a breaker or other device that carries more than it is made for."""

from collections.abc import Iterator

from core.analysis.beyond import most_given
from core.analysis.sound import shorted_parts
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.giving import train_finding, with_train
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.units.figures import show_amps


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each overloaded device, outside shorted circuits.

    First by what stands there already; then with the test train on top of it.
    """
    shorted = shorted_parts(study)
    told: set[PartId] = set()
    for duty in study.devices:
        if duty.amps_a > duty.rated_a and duty.part not in shorted:
            told.add(duty.part)
            yield RULE.finding(
                f"{part_name(study.layout, duty.part)} carries "
                f"{show_amps(duty.amps_a)}; it is made for {show_amps(duty.rated_a)}.",
                f"trains and standing loads behind it: {show_amps(duty.amps_a)} > "
                f"{show_amps(duty.rated_a)}",
                "Split what is behind it in two, or run fewer trains there.",
                parts=(duty.part,),
                size=duty.amps_a / duty.rated_a,
            )
    for part, given in most_given(study).items():
        beyond = with_train(study, given)
        is_device = study.layout.get(part, Inline) is not None
        if beyond is not None and is_device and part not in told:
            yield train_finding(RULE, study, given, beyond)


RULE = Rule(
    "W403",
    Severity.FAULT,
    "Device overloaded",
    source="Its rating, and its trip.",
    check=check,
)
