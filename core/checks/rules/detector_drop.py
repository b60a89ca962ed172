"""W207: a device in the feed that takes its share of the volts."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import part_name
from core.materials.signal import FEEDBACK_DROP_V
from core.units.figures import show_share, show_volts

Kind = tuple[str, float, float]
"""A kind of device, the volts it takes, and the volts it is given."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each kind of device that drops too much for feedback."""
    given = {b.part: b.volts_v for b in study.boosters}
    kinds: dict[Kind, list[PartId]] = {}
    for device in study.layout.of_kind(Inline):
        volts = given.get(study.feeds.chain(device.id)[-1])
        if volts is not None and device.drop_v > FEEDBACK_DROP_V + 1e-9:
            alike = (device.device, device.drop_v, volts)
            kinds.setdefault(alike, []).append(device.id)
    for kind, parts in kinds.items():
        yield _finding(study, kind, parts)


def _finding(study: Study, kind: Kind, parts: list[PartId]) -> Finding:
    device, drop, volts = kind
    share = drop / volts
    one = len(parts) == 1
    names = part_name(study.layout, parts[0]) if one else list_names(parts)
    remedy = "Use one that takes less, or none at all."
    if device == "detector":
        remedy = "Use a detector that senses the current by a coil: it takes nothing."
    return RULE.finding(
        f"{names} {'takes' if one else 'take'} {show_volts(drop)} of "
        f"{show_volts(volts)}{'' if one else ' each'} before the first metre of wire.",
        f"{show_volts(drop)} / {show_volts(volts)} = {show_share(share)}; "
        f"two-way feedback allows {show_volts(FEEDBACK_DROP_V)}",
        remedy,
        parts=tuple(parts),
        size=share / study.layout.settings.limits.drop_good,
    )


RULE = Rule(
    "W207",
    Severity.ADVICE,
    "Device takes volts",
    source="At most 200 mV in the answer window: NMRA RP-9.3.1.",
    check=check,
)
