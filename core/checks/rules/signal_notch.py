"""W208: so much inductance that the far end's signal is cut into."""

from collections.abc import Iterator

from core.analysis.legs import describe_legs
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.parts import Bus
from core.layout.queries import part_name
from core.materials.signal import HALF_BIT_ONE_S
from core.units.figures import show_amps, show_henry, show_share

GOOD_SHARE = 0.10
"""Of a half-bit that the rails may take to cross over. [1] House choice."""

MOST_SHARE = 0.30
"""Beyond this decoders lose commands (house choice; an indicator, no timing). [1]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each bus whose current turns too slowly."""
    for leg in describe_legs(study):
        share = leg.notch_s / HALF_BIT_ONE_S
        if share <= GOOD_SHARE:
            continue
        bus = study.layout.need(leg.bus, Bus)
        twisted = bus.lay == "twisted"
        yield RULE.finding(
            f"{part_name(study.layout, leg.bus)} holds the signal up: its "
            f"{show_henry(leg.henry)} at {show_amps(leg.amps_a)} eat "
            f"{show_share(share)} of each half-bit at the far end.",
            f"I·L/V = {leg.notch_s * 1e6:.1f} µs of {HALF_BIT_ONE_S * 1e6:.0f} µs",
            "Shorten it, feed it from its middle, or give the far end its own booster."
            if twisted
            else "Twist the two wires, about ten turns a metre: that alone takes two "
            "thirds away.",
            parts=(leg.bus,),
            severity=RULE.severity if share > MOST_SHARE else Severity.ADVICE,
            size=share / MOST_SHARE,
            fix=None
            if twisted
            else refit(study.layout, (leg.bus,), f"Twist {leg.bus}", lay="twisted"),
        )


RULE = Rule(
    "W208",
    Severity.FAULT,
    "Bus slows the signal",
    source="House choice over I·L/V against the half-bit of NMRA S-9.1: an indicator "
    "of signal quality, no prediction of timing.",
    check=check,
)
