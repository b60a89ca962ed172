"""W209: a long open leg, where a snubber would go, and where it must not."""

from collections.abc import Iterator

from core.analysis.legs import SNUBBER_FARAD, SNUBBER_LEG_M, SNUBBER_OHM, describe_legs
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.queries import part_name
from core.units.figures import show_watts
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each long leg whose end hangs free."""
    system = study.layout.settings.lengths
    for leg in describe_legs(study):
        if leg.snubber_w is None:
            continue
        length = show_length(leg.length_m, system)
        yield RULE.finding(
            f"{part_name(study.layout, leg.bus)} ends open after {length}: edges may "
            "ring there.",
            f"{length} ≥ {show_length(SNUBBER_LEG_M, system)}; "
            f"P = 2·C·V²·rate = {show_watts(leg.snubber_w)} in the resistor",
            f"If a scope shows ringing, put {SNUBBER_OHM:.0f} Ω and "
            f"{SNUBBER_FARAD * 1e6:.1f} µF in series across its end; the resistor gets "
            f"{show_watts(leg.snubber_w)} at worst, so take one of 2 W or more."
            + _detector(leg.behind),
            parts=(leg.bus,),
            size=leg.length_m / SNUBBER_LEG_M,
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
