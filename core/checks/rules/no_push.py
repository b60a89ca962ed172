"""W306: a booster that cannot push enough to trip what stands behind it."""

from collections.abc import Iterator

from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.queries import part_name
from core.units.figures import show_amps

SURE = 1.0
"""Below this nothing trips at all. [1]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device that its booster's own limit keeps from it.

    What wire and rail let through is W301.
    """
    good = study.layout.settings.limits.short_good
    sound = sound_segments(study)
    behind: dict[Clearing, list[PartId]] = {}
    for i, by in enumerate(study.clearing):
        if by is not None and by.limit_a is not None and sound[i]:
            runs = behind.setdefault(by, [])
            if study.circuit.segments[i].run not in runs:
                runs.append(study.circuit.segments[i].run)
    for by, runs in behind.items():
        assert by.limit_a is not None, "asked above"
        if by.limit_a / by.trip_a < good:
            yield _finding(study, by, by.limit_a, runs)


def _finding(study: Study, by: Clearing, limit_a: float, runs: list[PartId]) -> Finding:
    limits = study.layout.settings.limits
    ratio = limit_a / by.trip_a
    limit, severity = limits.short_good, Severity.ADVICE
    if ratio < SURE:
        limit, severity = SURE, Severity.HAZARD
    elif ratio < limits.short_least:
        limit, severity = limits.short_least, Severity.FAULT
    top = study.feeds.chain(by.part)[-1]
    what = "never" if ratio < SURE else "hardly"
    return RULE.finding(
        f"{part_name(study.layout, top)} pushes {show_amps(limit_a)} at most into a "
        f"short; that {what} trips {by.part} at {show_amps(by.trip_a)}.",
        f"{show_amps(limit_a)} / {show_amps(by.trip_a)} = {ratio:.2f} < {limit:g}",
        f"Set {by.part} to {show_amps(limit_a / limits.short_good)} or less.",
        parts=(by.part, *(() if top == by.part else (top,)), *runs),
        severity=severity,
        size=limit / ratio,
    )


RULE = Rule(
    "W306",
    Severity.FAULT,
    "Booster pushes too little",
    source="House choice, as for W301: short current at least 1.5, better 2 times the "
    "trip current; the limit is what the booster's instructions say.",
    check=check,
)
