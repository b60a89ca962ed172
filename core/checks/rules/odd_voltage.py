"""W402: a track voltage that does not suit the scale."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Booster
from core.layout.queries import part_name
from core.materials.signal import signal_volts
from core.units.figures import show_volts

USUAL = 0.20
"""How far from the scale's nominal volts is still usual. [1] House choice."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each booster whose volts are unusual or out of bounds."""
    for booster in study.layout.of_kind(Booster):
        yield from _judge(study, booster)


def _judge(study: Study, booster: Booster) -> Iterator[Finding]:
    scale, volts = study.layout.settings.scale, booster.volts_v
    limits = signal_volts(scale)
    usual_most = limits.nominal * (1.0 + USUAL)
    usual_least = limits.nominal * (1.0 - USUAL)
    if volts > limits.station_most:
        what, limit = "the most a station may give", float(limits.station_most)
    elif volts < limits.station_least:
        what, limit = "the least a station may give", float(limits.station_least)
    elif volts > usual_most:
        what, limit = f"a fifth above the usual for {scale}", usual_most
    elif volts < usual_least:
        what, limit = f"a fifth below the usual for {scale}", usual_least
    else:
        return
    outside = not limits.station_least <= volts <= limits.station_most
    sign = ">" if volts > limit else "<"
    yield RULE.finding(
        f"{part_name(study.layout, booster.id)} puts {show_volts(volts)} on the track; "
        f"{scale} usually has {show_volts(limits.nominal)}.",
        f"{show_volts(volts)} {sign} {show_volts(limit)}, {what}; decoders must stand "
        f"{show_volts(limits.decoder_most)}",
        f"Set it near {show_volts(limits.nominal)}.",
        parts=(booster.id,),
        severity=RULE.severity if outside else Severity.ADVICE,
        size=max(volts / limit, limit / volts),
    )


RULE = Rule(
    "W402",
    Severity.FAULT,
    "Unusual track voltage",
    source="NMRA S-9.1 (2020), table 3; a fifth either way: house choice.",
    check=check,
)
