"""W113: a reversing section shorter than the longest train."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Load
from core.layout.queries import part_name
from core.network.reversing import Hop, find_reversing
from core.units.length import show_length


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each reversing path whose best section is too short.

    A path has as many sections as double gaps; the longest is the one to turn.
    """
    trains = [x for x in study.layout.of_kind(Load) if x.use == "train"]
    longest = max(trains, key=lambda x: x.length_m, default=None)
    if longest is None:
        return
    system = study.layout.settings.lengths
    for path in find_reversing(study.layout):
        if len(path.gaps) < 2:
            continue
        length = max(_length(span) for span in path.spans)
        if length >= longest.length_m:
            continue
        missing = longest.length_m - length
        fits, wants = (show_length(x, system) for x in (length, longest.length_m))
        yield RULE.finding(
            f"The longest reversing section of this way is {fits}; "
            f"{part_name(study.layout, longest.id)} is {wants}.",
            f"{wants} − {fits} = {show_length(missing, system)} short",
            f"Move the gaps apart by {show_length(missing + 0.1, system)}, or run "
            "shorter trains there: metal wheels or lit cars at both gaps at once "
            "chase the reverser.",
            parts=(*path.gaps, longest.id),
            size=longest.length_m / length if length else 1e3,
        )


def _length(span: tuple[Hop, ...]) -> float:
    return sum(hop.length_m for hop in span)


RULE = Rule(
    "W113",
    Severity.FAULT,
    "Reversing section too short",
    source="At least the longest train with metal wheels or lights (common practice, "
    "no source).",
    check=check,
)
