"""W401: a booster that has to give too much."""

from collections.abc import Iterator

from core.analysis.study import BoosterDuty, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.queries import part_name
from core.units.figures import show_amps, show_share


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each booster loaded into its headroom or beyond."""
    shorted = {short.booster for short in study.shorts}
    headroom = study.layout.settings.limits.headroom
    for duty in study.boosters:
        if duty.part in shorted:
            continue
        if duty.amps_a > duty.rated_a:
            yield _overloaded(study, duty)
        elif duty.amps_a > duty.rated_a * (1.0 - headroom):
            yield _tight(study, duty, headroom)


def _overloaded(study: Study, duty: BoosterDuty) -> Finding:
    return RULE.finding(
        f"{part_name(study.layout, duty.part)} has to give {show_amps(duty.amps_a)}; "
        f"it is made for {show_amps(duty.rated_a)}.",
        f"trains and standing loads: {show_amps(duty.amps_a)} > "
        f"{show_amps(duty.rated_a)}",
        "Give part of its track to another booster, or run fewer trains at once.",
        parts=(duty.part,),
        size=duty.amps_a / duty.rated_a,
    )


def _tight(study: Study, duty: BoosterDuty, headroom: float) -> Finding:
    usable = duty.rated_a * (1.0 - headroom)
    return RULE.finding(
        f"{part_name(study.layout, duty.part)} gives {show_amps(duty.amps_a)} of "
        f"{show_amps(duty.rated_a)}: less than {show_share(headroom)} is to spare.",
        f"{show_amps(duty.amps_a)} > {show_amps(duty.rated_a)} × "
        f"(1 − {show_share(headroom)}) = {show_amps(usable)}",
        "Leave some room for one more train, or for engines that start together.",
        parts=(duty.part,),
        severity=Severity.ADVICE,
        size=duty.amps_a / usable,
    )


RULE = Rule(
    "W401",
    Severity.FAULT,
    "Booster overloaded",
    source="Its rating; headroom: common practice, 20 to 30 % to spare.",
    check=check,
)
