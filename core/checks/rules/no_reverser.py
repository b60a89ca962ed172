"""W114: a reversing section that nothing can turn."""

from collections.abc import Iterator
from dataclasses import replace

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.trail import trail_of_path
from core.checks.turning import is_uncured, owners
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.network.reversing import ReversingPath, find_reversing


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each cut reversing path without a reverser before it.

    A switch in the feed may be the change-over switch that turns it: that is asked.
    """
    for path in find_reversing(study.layout):
        if len(path.gaps) < 2 or not is_uncured(study, path):
            continue
        switch = next((s for s in owners(study, path, "switch") if s), None)
        finding = _by_hand(path, switch) if switch else _missing(path)
        yield replace(finding, trail=trail_of_path(study.layout, path))


def _missing(path: ReversingPath) -> Finding:
    one = "The section" if len(path.gaps) == 2 else "One of the sections"
    return RULE.finding(
        f"{one} between {list_names(list(path.gaps))} must change its polarity under "
        "a train, and no reverser feeds it.",
        f"{len(path.gaps)} double gaps, 0 reversers",
        "Feed the section through a reverser that is faster than the breaker above "
        "it, or through a change-over switch.",
        parts=path.gaps,
        place=_middle(path),
    )


def _by_hand(path: ReversingPath, switch: PartId) -> Finding:
    return RULE.finding(
        f"Only {switch} can turn the section between {list_names(list(path.gaps))}: "
        "it must be a change-over switch, thrown while the train stands inside.",
        f"{len(path.gaps)} double gaps, 0 reversers, 1 switch",
        "Throw it under each train that passes, or put a reverser in its place.",
        parts=(switch, *path.gaps),
        place=_middle(path),
        severity=Severity.ADVICE,
    )


def _middle(path: ReversingPath) -> OnRun:
    longest = max(
        (hop for span in path.spans for hop in span), key=lambda h: h.length_m
    )
    return OnRun(run=longest.run, position_m=0.5 * (longest.from_m + longest.to_m))


RULE = Rule(
    "W114",
    Severity.FAULT,
    "No reverser for a section",
    source="The polarity of the section must fit the track at whichever end the train "
    "crosses (common practice, no source).",
    check=check,
)
