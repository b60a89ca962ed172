"""W212: so long a lead behind a detector that its capacitance reads as a train."""

from collections.abc import Iterator

from core.analysis.legs import Leg, describe_legs
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Booster
from core.materials.signal import snubber_amps

SEES_A = 1e-3
"""What a detector takes for a wheel set with a resistor. [A] Needs N55."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each detector whose leads alone may look like a train."""
    behind: dict[PartId, list[Leg]] = {}
    for leg in describe_legs(study):
        if leg.behind is not None:
            behind.setdefault(leg.behind, []).append(leg)
    for detector, legs in behind.items():
        top = study.layout.need(study.feeds.chain(detector)[-1], Booster)
        farad = sum(leg.farad for leg in legs)
        amps = snubber_amps(farad, top.volts_v)
        if amps > SEES_A:
            yield _finding(legs, detector, farad=farad, amps=amps)


def _finding(
    legs: list[Leg], detector: PartId, *, farad: float, amps: float
) -> Finding:
    length = sum(leg.length_m for leg in legs)
    names = [leg.bus for leg in legs]
    return RULE.finding(
        f"The {length:.0f} m of {list_names(names)} behind {detector} may read as a "
        f"train: charging them back and forth takes {_milliamps(amps)}.",
        f"2·C·V / half-bit, C = {farad * 1e9:.2f} nF: {_milliamps(amps)} > "
        f"{_milliamps(SEES_A)}",
        "Put the detector nearer to its block, or lay the two wires behind it apart "
        "and untwisted, as short as can be.",
        parts=(detector, *names),
        size=amps / SEES_A,
    )


def _milliamps(amps: float) -> str:
    return f"{amps * 1e3:.2f} mA"


RULE = Rule(
    "W212",
    Severity.ADVICE,
    "Long lead behind a detector",
    source="Charge of the pair, C·2V at each edge; 1 mA: common practice, no source.",
    check=check,
)
