"""W308: a lamp limiter that does not keep the rest of the booster's track on."""

from collections.abc import Iterator
from math import ceil

from core.analysis.limiters import Limiter, find_limiters
from core.analysis.study import Racer, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.queries import part_name, place_name
from core.materials.filament import COLD_RATIO, WARM_S
from core.units.figures import show_amps, show_seconds


def check(study: Study) -> Iterator[Finding]:
    """Yield a finding for each lamp that a device forestalls, or that is bypassed.

    A device trips all the same where it is faster than the lamp lights, or where the
    lit lamp lets through what trips it.
    """
    for lamp in find_limiters(study):
        if lamp.held is None:
            if lamp.feeds and not any(_holds(study, lamp, i) for i in _fed(study)):
                yield _bypassed(study, lamp)
        elif lamp.held.first is not None:
            first = lamp.held.first
            lit = lamp.held.amps_a >= first.trip_a
            yield (_too_big if lit else _too_slow)(study, lamp, first)


def _fed(study: Study) -> Iterator[int]:
    return (i for i, fed in enumerate(study.scan.fed.tolist()) if fed)


def _holds(study: Study, lamp: Limiter, segment: int) -> bool:
    return any(own.part == lamp.part for own in study.lamps[segment])


def _too_slow(study: Study, lamp: Limiter, first: Racer) -> Finding:
    held = lamp.held
    assert held is not None, "asked only of what holds a short"
    assert lamp.place is not None, "and has a place for it"
    return RULE.finding(
        f"{part_name(study.layout, lamp.part)} draws {show_amps(held.surge_a)} while "
        f"it is cold; {first.part} trips at {show_amps(first.trip_a)} in "
        f"{show_seconds(first.trip_s)}, before the lamp is lit, so a short at "
        f"{place_name(study.layout, lamp.place)} stops all that {first.part} feeds.",
        f"{show_seconds(first.trip_s)} < {show_seconds(WARM_S)} that it takes to "
        f"light; cold it has 1/{COLD_RATIO:.0f} of its resistance: "
        f"{show_amps(first.sensed_a)} > {show_amps(first.trip_a)}",
        f"Let {first.part} wait {show_seconds(WARM_S)} or more if it can, or put a "
        "breaker that is faster in place of the lamp.",
        parts=(lamp.part, first.part),
        place=lamp.place,
        size=first.sensed_a / first.trip_a,
    )


def _too_big(study: Study, lamp: Limiter, first: Racer) -> Finding:
    held = lamp.held
    assert held is not None, "asked only of what holds a short"
    # Its current goes with the 0.55th power of volts, so about with its rating.
    least = ceil(10.0 * lamp.rated_a * first.trip_a / held.amps_a) / 10.0 - 0.1
    return RULE.finding(
        f"{part_name(study.layout, lamp.part)} lets {show_amps(held.amps_a)} through "
        f"when it is lit; {first.part} trips at {show_amps(first.trip_a)}: the lamp "
        "keeps nothing on.",
        f"{show_amps(held.amps_a)} ≥ {show_amps(first.trip_a)}",
        f"Take a lamp of {show_amps(max(least, 0.1))} or less at {lamp.rated_v:g} V.",
        parts=(lamp.part, first.part),
        place=lamp.place,
        size=held.amps_a / first.trip_a,
    )


def _bypassed(study: Study, lamp: Limiter) -> Finding:
    return RULE.finding(
        f"{part_name(study.layout, lamp.part)} holds no short back: the track behind "
        "it is fed by another way too.",
        "less than the whole current of a short passes through it",
        "Cut both rails where its track meets other track, and feed each drop of it "
        "from behind the lamp.",
        parts=(lamp.part,),
    )


RULE = Rule(
    "W308",
    Severity.FAULT,
    "Lamp does not keep the rest on",
    source="Lamps take about 250 ms to hold a short back: hobby practice. Cold "
    "current: 10 to 15 times the rated one, a published installation guide.",
    check=check,
)
