"""W506: saw cuts that nothing holds open."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Gap, TrackRun
from core.materials.growth import growth, swing_k


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for all gaps that are not filled."""
    gaps = [g for g in study.layout.of_kind(Gap) if not g.filled and not g.bridged]
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
        f"{swing_k(study.layout.settings.scale):.0f} K",
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
    swing = swing_k(study.layout.settings.scale)
    return 1000.0 * growth(run.rail, run.piece_length_m, swing)


RULE = Rule(
    "W506",
    Severity.ADVICE,
    "Gap may close",
    source="Growth of the rail by heat; filling gaps: common practice, no source.",
    check=check,
)
