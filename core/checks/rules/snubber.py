"""W209: a long open leg, where a snubber would go, and where it must not."""

from collections.abc import Iterator

from core.analysis.legs import (
    SNUBBER_FARAD,
    SNUBBER_LEG_M,
    SNUBBER_OHM,
    Leg,
    describe_legs,
)
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.edits.set import set_fields
from core.layout.queries import part_name
from core.units.figures import show_watts
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for all long bare ends that hang free, behind one detector."""
    behind: dict[str | None, list[Leg]] = {}
    for leg in describe_legs(study):
        if leg.snubber_w is not None and not leg.snubber_fitted:
            behind.setdefault(leg.behind, []).append(leg)
    for detector, legs in behind.items():
        legs.sort(key=lambda leg: -leg.length_m)
        yield _finding(study, legs, detector)


def _finding(study: Study, legs: list[Leg], detector: str | None) -> Finding:
    system = study.layout.settings.lengths
    longest = legs[0]
    names = [leg.bus for leg in legs]
    whose = part_name(study.layout, names[0]) if len(names) == 1 else list_names(names)
    length = show_length(longest.length_m, system)
    after = f"after {length}" if len(names) == 1 else f"after up to {length}"
    hottest = max(legs, key=lambda leg: leg.snubber_w or 0.0)
    watts = show_watts(hottest.snubber_w or 0.0)
    each = "its end" if len(names) == 1 else "each end"
    return RULE.finding(
        f"{whose} {'ends' if len(names) == 1 else 'end'} open {after}: edges may ring "
        "there.",
        f"{length} ≥ {show_length(SNUBBER_LEG_M, system)}; P = 2·C·V²·rate = {watts} "
        "in the resistor",
        f"If a scope shows ringing, put {SNUBBER_OHM:.0f} Ω and "
        f"{SNUBBER_FARAD * 1e6:.1f} µF in series across {each}; the resistor gets "
        f"{watts} at worst, so take one of {hottest.resistor_w:g} W or more."
        f"{_detector(detector)}",
        parts=tuple(names),
        fix=None
        if detector is not None
        else set_fields(study.layout, frozenset(names), snubber=True),
        size=longest.length_m / SNUBBER_LEG_M,
    )


def _detector(behind: str | None) -> str:
    if behind is None:
        return ""
    return (
        f" Not here, though: behind {behind} its current reads as a train; put it "
        "before the detector."
    )


RULE = Rule(
    "W209",
    Severity.ADVICE,
    "Long open leg",
    source="End filters on legs over about 30 ft (common practice, no source; others "
    "hold that good wiring needs none).",
    check=check,
)
