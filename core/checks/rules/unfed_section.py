"""W508: the section of a lift-out or gate that no jumper feeds, or on both sides."""

from collections.abc import Iterator

from core.analysis.openings import DeadStretch, dead_stretches
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.openings import SIDES_OPPOSITE, drop_side, section_drops
from core.layout.parts import Booster, Drop, OnRun, Opening
from core.layout.queries import part_name, run_name
from core.units.length import show_length
from core.units.si import Metre

LEAST_M = 0.05
"""Shorter stretches are the metal of a crossing (house choice). [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield a finding for each section with dead rail, and for jumpers across."""
    if not any(True for _ in study.layout.of_kind(Booster)):
        return
    for opening in study.layout.of_kind(Opening):
        if opening.use == "board joint":
            continue
        dead = [
            stretch
            for stretch in dead_stretches(study.layout, opening, study.case.thrown)
            if stretch.end_m - stretch.start_m > LEAST_M
        ]
        if dead:
            yield _dead(study, opening, dead)
        yield from _across(study, opening)


def _dead(study: Study, opening: Opening, dead: list[DeadStretch]) -> Finding:
    layout = study.layout
    what = list_names(list(dict.fromkeys(_named(study, s) for s in dead)))
    length = sum(s.end_m - s.start_m for s in dead)
    first = dead[0]
    middle = (first.start_m + first.end_m) / 2.0
    return RULE.finding(
        f"No jumper feeds {what} on {part_name(layout, opening.id)}: rails that only "
        "meet at its edges carry nothing.",
        ", ".join(f"{_show(study, s.start_m)} to {_show(study, s.end_m)}" for s in dead)
        + f"; {len(section_drops(layout, opening))} drops on the section",
        "Hang a drop on the section and bring its pair over the "
        f"{opening.hinge} side by {_jumper(opening)}.",
        parts=(opening.id, *dict.fromkeys(s.run for s in dead)),
        place=OnRun(run=first.run, position_m=middle),
        size=1.0 + length,
    )


def _across(study: Study, opening: Opening) -> Iterator[Finding]:
    """Yield a finding where jumpers lie on the wrong side, or on both."""
    layout = study.layout
    far = SIDES_OPPOSITE[opening.hinge]
    sides: dict[str, list[Drop]] = {}
    for drop in section_drops(layout, opening):
        side = drop_side(layout, opening, drop)
        if side is not None:
            sides.setdefault(side, []).append(drop)
    wrong = sides.get(far, [])
    if not wrong or (opening.use == "lift-out" and opening.hinge not in sides):
        return
    names = list_names([d.id for d in wrong])
    if opening.use == "gate":
        why = f"that is where it swings open; its hinge is on the {opening.hinge} side"
    else:
        why = f"others cross on the {opening.hinge} side, so two plugs must be drawn"
    yield RULE.finding(
        f"{names} reach{'es' if len(wrong) == 1 else ''} "
        f"{part_name(layout, opening.id)} across its {far} side: {why}.",
        f"{len(wrong)} of {sum(map(len, sides.values()))} pairs on the {far} side",
        f"Bring all its pairs over the {opening.hinge} side.",
        parts=(opening.id, *(d.id for d in wrong)),
        place=wrong[0].on,
        severity=Severity.ADVICE,
    )


def _named(study: Study, stretch: DeadStretch) -> str:
    rails = "both rails" if stretch.rails == "both" else f"the {stretch.rails} rail"
    return f"{rails} of {run_name(study.layout, stretch.run)}"


def _jumper(opening: Opening) -> str:
    if opening.use == "gate":
        return "a loose loop beside the hinge, or a plug"
    return "a plug that cannot be turned round"


def _show(study: Study, length_m: float) -> str:
    return show_length(Metre(length_m), study.layout.settings.lengths)


RULE = Rule(
    "W508",
    Severity.FAULT,
    "Opening without its jumper",
    source="A jumper pair on the hinge side (common practice, no source).",
    check=check,
)
