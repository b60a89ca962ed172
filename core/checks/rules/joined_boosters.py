"""W121: two boosters feed the same metal."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Booster
from core.network.parallel import Meeting, find_meetings


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pair of boosters that meet.

    One pole in common is no fault where both are said to share it.
    """
    for meeting in find_meetings(study.circuit, study.system.islands):
        if len(meeting.poles) == 2:
            yield _both(meeting)
        elif not _is_meant(study, meeting):
            yield _one(meeting)


def _both(meeting: Meeting) -> Finding:
    one, other = meeting.boosters
    way = list_names(list(meeting.paths[0]))
    return RULE.finding(
        f"{one} and {other} feed the same track: nothing parts them.",
        f"A meets A by {way}; B meets B by {list_names(list(meeting.paths[1]))}",
        "Cut both rails where the two districts meet. Outputs of two supplies are "
        "never to be joined.",
        parts=(one, other, *meeting.paths[0]),
        severity=Severity.HAZARD,
        size=2.0,
    )


def _one(meeting: Meeting) -> Finding:
    one, other = meeting.boosters
    return RULE.finding(
        f"{one} and {other} have one conductor in common; the other is parted.",
        f"joined by {list_names(list(meeting.paths[0]))}",
        "If no common is meant, a gap is missing in one rail: cut it. If it is meant, "
        "say so on both boosters, as their instructions have it.",
        parts=(one, other, *meeting.paths[0]),
    )


def _is_meant(study: Study, meeting: Meeting) -> bool:
    return all(
        study.layout.need(part, Booster).common == "joined" for part in meeting.boosters
    )


RULE = Rule(
    "W121",
    Severity.FAULT,
    "Two boosters joined",
    source="Outputs are not to be joined in parallel: NEM 609 (2010).",
    check=check,
)
