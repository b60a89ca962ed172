"""W114: a reversing section that nothing can turn."""

from collections.abc import Iterator

from core.analysis.probe import find_point
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline, OnRun
from core.network.reversing import Hop, ReversingPath, find_reversing


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each cut reversing path without a reverser before it."""
    for path in find_reversing(study.layout):
        if len(path.gaps) < 2 or any(_is_turned(study, span) for span in path.spans):
            continue
        yield RULE.finding(
            f"The section between {list_names(list(path.gaps))} must change its "
            "polarity under a train, and no reverser feeds it.",
            f"{len(path.gaps)} double gaps, 0 reversers",
            "Feed the section through a reverser that is faster than the breaker "
            "above it, or through a change-over switch.",
            parts=path.gaps,
            place=_middle(path),
        )


def _is_turned(study: Study, span: tuple[Hop, ...]) -> bool:
    """Return whether a reverser stands before any stretch of a section."""
    devices = (
        study.layout.get(part, Inline) for hop in span for part in _before(study, hop)
    )
    return any(d is not None and d.device == "reverser" for d in devices)


def _before(study: Study, hop: Hop) -> tuple[PartId, ...]:
    middle = OnRun(run=hop.run, position_m=0.5 * (hop.from_m + hop.to_m))
    segment = study.circuit.segments[find_point(study, middle).segment]
    part = study.feeds.of_pair(segment.left0, segment.right0)
    return study.feeds.chain(part) if part is not None else ()


def _middle(path: ReversingPath) -> OnRun:
    longest = max(
        (hop for span in path.spans for hop in span), key=lambda h: h.length_m
    )
    return OnRun(run=longest.run, position_m=0.5 * (longest.from_m + longest.to_m))


RULE = Rule(
    "W114",
    Severity.FAULT,
    "Reversing section without reverser",
    source="The polarity of the section must fit the track at whichever end the train "
    "crosses (common practice, no source).",
    check=check,
)
