"""W132: track that looks as if it led to a turntable, and does not."""

from collections.abc import Iterator
from math import degrees

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.edits.reach import reach_pit
from core.layout.geometry import run_path
from core.layout.parts import OnRun, RunEnd, TrackRun, Turntable
from core.layout.queries import part_name, run_name
from core.layout.turntables import FACE_MM, FACE_RAD, Aim, near_misses
from core.units.figures import show_degrees
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each free run end that nearly is a stall."""
    for table, end, aim in near_misses(study.layout):
        yield _finding(study, table, end, aim)


def _finding(study: Study, table: Turntable, end: RunEnd, aim: Aim) -> Finding:
    layout = study.layout
    run = layout.need(end.run, TrackRun)
    position = 0.0 if end.end == "start" else run_path(run).length_m
    fix = reach_pit(layout, table.id, end)
    return RULE.finding(
        f"{run_name(layout, run.id)} {_how(study, aim)} {part_name(layout, table.id)}: "
        "it is no stall, and nothing can run from it on the bridge.",
        f"{_length(study, aim.off_mm)} from the edge of the pit, "
        f"{_length(study, FACE_MM)} at most; {_angle(aim.turned_rad)} past the line of "
        f"the bridge, {_angle(FACE_RAD)} at most",
        _remedy(study, aim, fixed=fix is not None),
        parts=(run.id, table.id),
        place=OnRun(run=run.id, position_m=position),
        size=max(abs(aim.off_mm) / FACE_MM, aim.turned_rad / FACE_RAD, 1.0),
        fix=fix,
    )


def _how(study: Study, aim: Aim) -> str:
    if aim.is_true:
        return "ends at the edge of, and is not joined to,"
    if abs(aim.off_mm) <= FACE_MM:
        return f"points {_angle(aim.turned_rad)} past the bridge of"
    if aim.off_mm > 0.0:
        return f"ends {_length(study, aim.off_mm)} short of"
    return f"reaches {_length(study, -aim.off_mm)} into"


def _remedy(study: Study, aim: Aim, *, fixed: bool) -> str:
    away = "or end it farther off if it is not meant for the pit"
    if aim.turned_rad > FACE_RAD and not fixed:
        return f"Draw its end anew so that it points along the bridge; {away}."
    if aim.off_mm < 0.0:
        return f"Cut it back by {_length(study, -aim.off_mm)}; {away}."
    return f"Lead it on by {_length(study, aim.off_mm)}, up to the edge; {away}."


def _length(study: Study, length_mm: float) -> str:
    return show_length(length_mm / 1000.0, study.layout.settings.lengths)


def _angle(turned_rad: float) -> str:
    return show_degrees(round(degrees(turned_rad), 1))


RULE = Rule(
    "W132",
    Severity.ADVICE,
    "Track ends short of a pit",
    source="House choice: within 60 mm and 15°, and free, it is meant for the pit; "
    "within 10 mm and 5° it is a stall.",
    check=check,
)
