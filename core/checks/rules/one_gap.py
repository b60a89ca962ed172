"""W112: a reversing path with one double gap only: no section to turn."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.trail import trail_of_path
from core.checks.turning import gap_place
from core.layout.queries import part_name
from core.network.reversing import find_reversing
from core.proposals.gaps import second_cut


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each reversing path that is cut once."""
    for path in find_reversing(study.layout):
        if len(path.gaps) != 1:
            continue
        gap = path.gaps[0]
        yield RULE.finding(
            f"{part_name(study.layout, gap)} is the only cut in track that turns back "
            "on itself: its two sides are always of opposite phase, and the first "
            "wheel over it joins A to B.",
            "1 double gap; a section that can be turned needs 2",
            "Cut both rails a second time, at least the longest train away, and feed "
            "the section between the two gaps through a reverser.",
            parts=tuple(dict.fromkeys((gap, *path.links))),
            place=gap_place(study.layout, gap),
            trail=trail_of_path(study.layout, path, second_cut(study.layout, path)),
        )


RULE = Rule(
    "W112",
    Severity.FAULT,
    "Reversing path cut once only",
    source="A section that is to change its polarity needs both rails cut at both "
    "of its ends (common practice, no source).",
    check=check,
)
