"""W207: an occupancy detector that takes its share of the volts."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.materials.signal import FEEDBACK_DROP_V
from core.units.figures import show_share, show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each detector that drops more than feedback allows."""
    for device in study.layout.of_kind(Inline):
        if device.drop_v <= FEEDBACK_DROP_V:
            continue
        top = study.feeds.chain(device.id)[-1]
        volts = next((b.volts_v for b in study.boosters if b.part == top), None)
        if volts is None:
            continue
        share = device.drop_v / volts
        yield RULE.finding(
            f"{part_name(study.layout, device.id)} takes {show_volts(device.drop_v)} "
            f"of {show_volts(volts)} before the first metre of wire.",
            f"{show_volts(device.drop_v)} / {show_volts(volts)} = {show_share(share)}; "
            f"two-way feedback allows {show_volts(FEEDBACK_DROP_V)}",
            "Use a detector that senses the current by a coil: it takes next to none.",
            parts=(device.id,),
            size=share / study.layout.settings.limits.drop_good,
        )


RULE = Rule(
    "W207",
    Severity.ADVICE,
    "Detector takes volts",
    source="At most 200 mV in the answer window: NMRA RP-9.3.1.",
    check=check,
)
