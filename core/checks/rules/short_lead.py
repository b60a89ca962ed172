"""W503: a lead length was typed that does not reach."""

from collections.abc import Iterator
from math import hypot

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.layout import Layout
from core.layout.parts import Drop
from core.layout.queries import anchor, part_name, place_xy
from core.units.length import show_length
from core.units.si import Metre


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each drop whose typed leads are too short."""
    for drop in study.layout.of_kind(Drop):
        needed = _needed_m(study.layout, drop)
        if drop.lead_m is None or needed is None or drop.lead_m >= needed:
            continue
        lengths = study.layout.settings.lengths
        typed, least = (show_length(Metre(m), lengths) for m in (drop.lead_m, needed))
        through = show_length(
            Metre(study.layout.settings.thickness_mm / 1000.0), lengths
        )
        yield RULE.finding(
            f"The leads of {part_name(study.layout, drop.id)} are {typed}: too short "
            f"to reach.",
            f"{through} through the board and the rest along it: {least} > {typed}",
            "Let the drawing give the length, or end it nearer.",
            parts=(drop.id,),
            place=drop.on,
            size=needed / drop.lead_m,
            fix=refit(study.layout, (drop.id,), f"Lengthen {drop.id}", lead_m=None),
        )


def _needed_m(layout: Layout, drop: Drop) -> float | None:
    """Return the least length that reaches, without any slack. [m]"""
    top = place_xy(layout, drop.on)
    bottom = anchor(layout, drop.to) if drop.to is not None else None
    if top is None or bottom is None:
        return None
    away = hypot(top[0] - bottom[0], top[1] - bottom[1])
    return (layout.settings.thickness_mm + away) / 1000.0


RULE = Rule(
    "W503",
    Severity.FAULT,
    "Leads too short",
    source="Geometry of the drawing.",
    check=check,
)
