"""W502: a drop whose leads are long or thin enough to count."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Booster, Drop
from core.layout.queries import drop_lead_m
from core.materials.wires import wire
from core.units.figures import show_amps, show_ohms, show_share, show_volts
from core.units.length import show_length
from core.units.si import Metre

MOST_SHARE = 0.01
"""Of the booster's volts, lost in one drop's leads by the test train. [1]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each wire with drops whose leads lose too much."""
    if study.scan.train_a <= 0.0:
        return
    by_wire: dict[str, list[tuple[float, Drop]]] = {}
    for duty in study.wires:
        drop = study.layout.get(duty.part, Drop)
        if drop is None or duty.by is None:
            continue
        share = _share(study, drop, duty.by.part)
        if share > MOST_SHARE:
            by_wire.setdefault(drop.wire, []).append((share, drop))
    for found in by_wire.values():
        found.sort(key=lambda item: -item[0])
        yield _finding(study, found)


def _ohm(study: Study, drop: Drop) -> float:
    """Return the resistance of both leads at 20 °C. [Ω]"""
    return 2.0 * wire(drop.wire).ohm_per_m * drop_lead_m(study.layout, drop)


def _volts(study: Study, part: PartId) -> float:
    booster = study.layout.get(study.feeds.chain(part)[-1], Booster)
    assert booster is not None, "what feeds a drop begins at a booster"
    return booster.volts_v


def _share(study: Study, drop: Drop, by: PartId) -> float:
    return study.scan.train_a * _ohm(study, drop) / _volts(study, by)


def _finding(study: Study, found: list[tuple[float, Drop]]) -> Finding:
    share, worst = found[0]
    ids = tuple(drop.id for _, drop in found)
    lead = Metre(drop_lead_m(study.layout, worst))
    length = show_length(lead, study.layout.settings.lengths)
    ohm, amps = _ohm(study, worst), study.scan.train_a
    per_m = wire(worst.wire).ohm_per_m
    return RULE.finding(
        f"{list_names(ids)}: leads of up to {length} of {wire(worst.wire).label} lose "
        f"{show_volts(amps * ohm)} on their own.",
        f"{worst.id}: 2 × {length} × {show_ohms(per_m)}/m = {show_ohms(ohm)}; "
        f"× {show_amps(amps)} = "
        f"{show_volts(amps * ohm)} = {show_share(share)} > {show_share(MOST_SHARE)}",
        "Bring a strip or the bus nearer, or use thicker wire for these leads.",
        parts=ids,
        place=worst.on,
        size=share / MOST_SHARE,
    )


RULE = Rule(
    "W502",
    Severity.ADVICE,
    "Long or thin leads",
    source="House choice; common practice: 22 to 24 AWG, under 12 in.",
    check=check,
)
