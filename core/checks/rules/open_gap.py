"""W506: saw cuts that nothing holds open."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Gap, TrackRun

GROWTH = {"ns": 17.0e-6, "brass": 18.7e-6, "stainless": 16.0e-6}
"""Growth of rail by alloy. [1/K] From memory; they give needs N49's figures."""

INDOORS_K = 20.0
"""Swing of a heated room over the year (house choice). [K]"""

OUTDOORS_K = 50.0
"""Swing of a garden line over the year (house choice). [K]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for all gaps that are not filled."""
    gaps = [gap for gap in study.layout.of_kind(Gap) if not gap.filled]
    runs = [study.layout.get(gap.on.run, TrackRun) for gap in gaps]
    grown = [(_grows_mm(study, run), run) for run in runs if run is not None]
    if not grown:
        return
    most_mm, run = max(grown, key=lambda pair: pair[0])
    one = len(gaps) == 1
    names = list_names([gap.id for gap in gaps])
    yield RULE.finding(
        f"{names} {'is' if one else 'are'} not filled: rail that grows with heat or "
        "damp can close a saw cut.",
        f"a piece of {run.piece_length_m:.3g} m grows {most_mm:.2f} mm over "
        f"{_swing(study):.0f} K",
        f"Glue a scrap of plastic into {'it' if one else 'each'}, filed to the rail's "
        "profile, and note it as filled.",
        parts=tuple(gap.id for gap in gaps),
        place=gaps[0].on,
        size=most_mm,
        fix=refit(
            study.layout, [g.id for g in gaps], f"Note {names} as filled", filled=True
        ),
    )


def _grows_mm(study: Study, run: TrackRun) -> float:
    alloy = run.rail.rpartition("-")[2]
    growth = GROWTH.get(alloy, GROWTH["ns"])
    return run.piece_length_m * 1000.0 * growth * _swing(study)


def _swing(study: Study) -> float:
    return OUTDOORS_K if study.layout.settings.scale == "G" else INDOORS_K


RULE = Rule(
    "W506",
    Severity.ADVICE,
    "Gap may close",
    source="Growth of the rail by heat; filling gaps: common practice, no source.",
    check=check,
)
