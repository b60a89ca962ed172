"""W213: drops so far apart that a train between them sags."""

from collections.abc import Iterator
from itertools import pairwise

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.openings import edges_of
from core.layout.parts import Drop, Gap, OnRun, Opening, TrackRun
from core.layout.queries import run_name
from core.layout.rails import rail_of
from core.units.length import show_length

SAG_V = 0.2
"""A train may lose so much in the rails halfway between two drops. [V] Needs N15."""

TRAIN_A = 2.0
"""Drawn there, of the largest train and what stands beside it. [A] Needs N15."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each run with drops too far apart for its rail.

    Halfway both halves are in parallel: I·2r·(s/2)/2 = ΔV, so s = 2·ΔV/(I·r).
    """
    layout = study.layout
    stops: dict[PartId, list[tuple[float, bool]]] = {}
    for part in layout.parts.values():
        if isinstance(part, Drop | Gap):
            place = (part.on.position_m, isinstance(part, Drop))
            stops.setdefault(part.on.run, []).append(place)
    for opening in layout.of_kind(Opening):
        for edge in edges_of(layout, opening):
            stops.setdefault(edge.run, []).append((edge.position_m, False))
    for run in layout.of_kind(TrackRun):
        section = rail_of(layout.settings, run.rail)
        most = 2.0 * SAG_V / (TRAIN_A * section.ohm_per_m)
        wide = [
            (b - a, a)
            for (a, is_drop), (b, is_next) in pairwise(sorted(stops.get(run.id, [])))
            if is_drop and is_next and b - a > most + 1e-9
        ]
        if wide:
            yield _finding(study, run, wide, most)


def _finding(
    study: Study, run: TrackRun, wide: list[tuple[float, float]], most: float
) -> Finding:
    system = study.layout.settings.lengths
    widest, start = max(wide)
    apart, limit = show_length(widest, system), show_length(most, system)
    ohm = rail_of(study.layout.settings, run.rail).ohm_per_m
    sag = TRAIN_A * ohm * widest / 2.0
    where = "at one place" if len(wide) == 1 else f"at {len(wide)} places"
    return RULE.finding(
        f"Drops on {run_name(study.layout, run.id)} are up to {apart} apart {where}; "
        f"on its rail {limit} is the most.",
        f"I·r·s/2 = {TRAIN_A:g} A × {ohm * 1000.0:.0f} mΩ/m × {apart} / 2 = "
        f"{sag:.2f} V > {SAG_V:g} V",
        "Add a drop between, or place them evenly.",
        parts=(run.id,),
        place=OnRun(run=run.id, position_m=start + widest / 2.0),
        size=widest / most,
    )


RULE = Rule(
    "W213",
    Severity.ADVICE,
    "Drops far apart",
    source="House choice: 0.2 V at 2 A midway between two drops (needs N15).",
    check=check,
)
