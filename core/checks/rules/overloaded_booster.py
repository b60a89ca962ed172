"""W401: a booster that has to give too much."""

from collections.abc import Iterator

from core.analysis.beyond import beyond_bounds, most_given
from core.analysis.study import BoosterDuty, Study
from core.checks.finding import Finding, Severity
from core.checks.giving import WORDS, train_finding, with_train
from core.checks.rule import Rule
from core.layout.queries import part_name
from core.units.figures import show_amps, show_share


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each booster loaded into its headroom or beyond.

    First by what stands there already; then with the test train on top of it.
    """
    shorted = set(study.shorted)
    headroom = study.layout.settings.limits.headroom
    given = most_given(study)
    for duty in study.boosters:
        if duty.part in shorted:
            continue
        most = given.get(duty.part)
        beyond = with_train(study, most) if most is not None else None
        if beyond_bounds(study.layout, duty.part, duty.amps_a) is not None:
            yield _overloaded(study, duty)
        elif most is not None and beyond is not None:
            yield train_finding(RULE, study, most, beyond)
        elif duty.amps_a > duty.rated_a * (1.0 - headroom):
            yield _tight(study, duty, headroom)


def _overloaded(study: Study, duty: BoosterDuty) -> Finding:
    beyond = beyond_bounds(study.layout, duty.part, duty.amps_a)
    assert beyond is not None, "asked only of what is beyond a bound"
    bound = show_amps(beyond.bound_a)
    return RULE.finding(
        f"{part_name(study.layout, duty.part)} has to give {show_amps(duty.amps_a)}; "
        f"{WORDS[beyond.bound]} {bound}.",
        f"trains and standing loads: {show_amps(duty.amps_a)} > {bound}",
        "Give part of its track to another booster, or run fewer trains at once.",
        parts=(duty.part,),
        size=duty.amps_a / beyond.bound_a,
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
    source="Its rating, its trip and what it gives at most; headroom: common "
    "practice, 20 to 30 % to spare.",
    check=check,
)
