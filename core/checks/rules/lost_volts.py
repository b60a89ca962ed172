"""W201: too much voltage lost on the way to a train."""

from collections.abc import Iterator

import numpy as np

from core.analysis.breakdown import loss_word
from core.analysis.study import Loss, Study
from core.checks.finding import Finding, Severity
from core.checks.giving import but_beyond
from core.checks.rule import Rule
from core.checks.spots import Spot, losses_at, worst_spots
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.queries import place_name
from core.units.figures import show_amps, show_share, show_volts

MOST_EXPLAINED = 12
"""Findings whose loss is split over what it is lost in; the rest is alike."""

_REMEDIES = {
    "supply": "The supply itself gives way: spread the trains over more boosters.",
    "breaker": "A device in the feed loses most: look at {parts}.",
    "bus": "Use thicker wire for {parts}, feed it in the middle, or add a booster.",
    "contact": "Connections lose most: make {parts} better or fewer.",
    "drop": "Make the leads of {parts} shorter or thicker, or add a drop.",
    "joint": "Joints lose most: add a drop near this place, or solder the joiners.",
    "rail": "The rail itself loses most: add a drop near this place.",
}


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device behind which track gets too little."""
    limits = study.layout.settings.limits
    t, lowest = study.scan.lowest_volts()
    source = (1.0 - t) * study.scan.source0 + t * study.scan.source1
    fed = study.scan.fed
    share = np.where(fed, source - lowest, np.nan) / np.where(fed, source, 1.0)
    share = np.where(lowest < limits.floor_v, np.nan, share)
    # Where the train starves a load there are no volts to tell: W206 does.
    share[study.scan.starving(np.arange(len(t)), t)] = np.nan
    spots = worst_spots(study, t, share / limits.drop_good)
    for rank, spot in enumerate(spots):
        yield _finding(study, spot, explain=rank < MOST_EXPLAINED)


def _finding(study: Study, spot: Spot, *, explain: bool) -> Finding:
    limits = study.layout.settings.limits
    source = study.scan.source_at(spot.segment, spot.t)
    volts = study.scan.volts_at(spot.segment, spot.t)
    share = (source - volts) / source
    limit = limits.drop_most if share > limits.drop_most else limits.drop_good
    losses = losses_at(study, spot) if explain else ()
    return RULE.finding(
        f"{place_name(study.layout, spot.place)}: {show_volts(volts)} is left of "
        f"{show_volts(source)} with {show_amps(study.scan.train_a)} more drawn there"
        f"{spot.also}.{but_beyond(study, spot)}",
        f"{_sum(source, volts, losses)} = {show_share(share)} > {show_share(limit)}",
        _remedy(losses),
        parts=(*spot.runs, *_worst_parts(losses)),
        place=spot.place,
        severity=Severity.FAULT if share > limits.drop_most else Severity.ADVICE,
        size=share / limit,
    )


def _sum(source: float, volts: float, losses: tuple[Loss, ...]) -> str:
    lost = f"{show_volts(source)} − {show_volts(volts)} = {show_volts(source - volts)}"
    told = [f"{loss_word(loss)} {show_volts(loss.volts_v)}" for loss in losses]
    return f"{lost} ({', '.join(told)})" if told else lost


def _worst(losses: tuple[Loss, ...]) -> Loss | None:
    return max(losses, key=lambda loss: loss.volts_v, default=None)


def _worst_parts(losses: tuple[Loss, ...]) -> tuple[PartId, ...]:
    worst = _worst(losses)
    return () if worst is None or worst.kind in ("rail", "joint") else worst.parts


def _remedy(losses: tuple[Loss, ...]) -> str:
    worst = _worst(losses)
    if worst is None:
        return "As for the findings above: thicker bus, more drops, or more boosters."
    return _REMEDIES[worst.kind].format(parts=list_names(worst.parts, most=3))


RULE = Rule(
    "W201",
    Severity.FAULT,
    "Too many volts lost",
    source="Common practice: 5 % at best, 10 % at most, at the design load.",
    check=check,
)
