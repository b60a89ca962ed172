"""W208: so much inductance that the far end's signal is cut into."""

from collections.abc import Iterator

from core.analysis.legs import Leg, describe_legs
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.parts import Bus
from core.layout.queries import part_name
from core.materials.pair import loop_inductance_of_bus
from core.materials.signal import HALF_BIT_ONE_S
from core.materials.wires import wire
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
        yield RULE.finding(
            f"{part_name(study.layout, leg.bus)} slows the signal: its "
            f"{show_henry(leg.henry)} at {_amps(leg)} eat "
            f"{show_share(share)} of each half-bit at its far end.",
            f"I·L/V{_sum(leg)} = {leg.notch_s * 1e6:.1f} µs of "
            f"{HALF_BIT_ONE_S * 1e6:.0f} µs; "
            f"{show_share(MOST_SHARE)} at most, {show_share(GOOD_SHARE)} is good",
            _remedy(bus, leg.notch_s),
            parts=(leg.bus,),
            severity=RULE.severity if share > MOST_SHARE else Severity.ADVICE,
            size=share / MOST_SHARE,
            fix=refit(study.layout, (leg.bus,), f"Twist {leg.bus}", lay="twisted")
            if bus.lay != "twisted"
            else None,
        )


def _is_spread(leg: Leg) -> bool:
    """Return whether some of the current leaves the bus before its far end."""
    return leg.mean_a < 0.99 * leg.amps_a


def _amps(leg: Leg) -> str:
    most = show_amps(leg.amps_a)
    return f"{most} falling towards its end" if _is_spread(leg) else most


def _sum(leg: Leg) -> str:
    """Return what the sum is of where it is of several currents."""
    if not _is_spread(leg):
        return ""
    return f", stretch by stretch {show_amps(leg.mean_a)} on average,"


def _remedy(bus: Bus, notch_s: float) -> str:
    if bus.lay == "twisted":
        return "Shorten it, feed its middle, or give the far end its own booster."
    spool, spacing = wire(bus.wire), bus.spacing_mm / 1000.0
    now = loop_inductance_of_bus(spool, bus.lay, spacing)
    then = loop_inductance_of_bus(spool, "twisted", spacing)
    share = notch_s * then / now / HALF_BIT_ONE_S
    return (
        "Twist the two wires, about ten turns a metre, so that they cannot wander "
        f"apart: with that alone it is {show_share(share)}."
    )


RULE = Rule(
    "W208",
    Severity.FAULT,
    "Bus slows the signal",
    source="House choice over I·L/V against the half-bit of NMRA S-9.1: an indicator "
    "of signal quality, no prediction of timing.",
    check=check,
)
