"""W211: a lamp or filter on a detected block, which then always reads as a train."""

from collections.abc import Iterator

from core.analysis.legs import SNUBBER_FARAD, Leg, describe_legs
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.parts import Booster, Inline, Load
from core.layout.queries import part_name
from core.materials.signal import snubber_amps
from core.units.figures import show_amps

SEES_A = 1e-3
"""What a detector takes for a wheel set with a resistor. [A] Needs N55."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each standing load or snubber that a detector sees."""
    for draw, amps in zip(study.circuit.draws, study.drawn.amps, strict=True):
        load = study.layout.get(draw.part, Load)
        detector = _detector(study, study.feeds.of_pair(draw.left, draw.right))
        if load is None or load.use != "standing" or detector is None:
            continue
        if amps > SEES_A:
            yield _finding(study, load, detector, float(amps))
    for leg in describe_legs(study):
        if leg.snubber_fitted and leg.behind is not None:
            yield _filter_finding(study, leg, leg.behind)


def _detector(study: Study, feed: PartId | None) -> PartId | None:
    for part in study.feeds.chain(feed) if feed is not None else ():
        device = study.layout.get(part, Inline)
        if device is not None and device.device == "detector":
            return part
    return None


def _finding(study: Study, load: Load, detector: PartId, amps: float) -> Finding:
    return RULE.finding(
        f"{part_name(study.layout, load.id)} draws {show_amps(amps)} behind "
        f"{detector}: its block always reads as occupied.",
        f"{show_amps(amps)} > {show_amps(SEES_A)}",
        f"Feed it from before {detector}, or from a supply of its own.",
        parts=(load.id, detector),
        place=load.on,
        size=amps / SEES_A,
    )


def _filter_finding(study: Study, leg: Leg, detector: PartId) -> Finding:
    top = study.layout.need(study.feeds.chain(detector)[-1], Booster)
    amps = snubber_amps(SNUBBER_FARAD, top.volts_v)
    return RULE.finding(
        f"The snubber on {part_name(study.layout, leg.bus)} lies behind {detector}: "
        "its block always reads as occupied.",
        f"2·C·V / half-bit = {show_amps(amps)} > {show_amps(SEES_A)}",
        f"Take it off, or put it on a bus before {detector}.",
        parts=(leg.bus, detector),
        size=amps / SEES_A,
        fix=set_fields(study.layout, frozenset({leg.bus}), snubber=False),
    )


RULE = Rule(
    "W211",
    Severity.FAULT,
    "Block always occupied",
    source="A detector takes about 1 mA for a wheel set (common practice, no source).",
    check=check,
)
