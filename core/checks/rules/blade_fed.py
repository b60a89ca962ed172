"""W116: rails that live only through a turnout's contact."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.contacts import hung_segments
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import run_name
from core.network.circuit import Segment
from core.units.length import show_length

MOST_M = 0.3
"""Shorter stretches are the crossing itself (house choice). [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for the track that hangs on the contacts of the same turnouts.

    Some turnouts are meant to switch off the way that they are not set for; then
    it is no fault, but still only as good as the contact.
    """
    behind: dict[tuple[PartId, ...], list[Segment]] = {}
    for i, turnouts in hung_segments(study).items():
        behind.setdefault(turnouts, []).append(study.circuit.segments[i])
    for turnouts, segments in behind.items():
        length = sum(s.end_m - s.start_m for s in segments)
        if length > MOST_M + 1e-9:
            yield _finding(study, turnouts, segments, length)


def _finding(
    study: Study, turnouts: tuple[PartId, ...], segments: list[Segment], length: float
) -> Finding:
    hung: dict[PartId, float] = {}
    for segment in segments:
        hung[segment.run] = hung.get(segment.run, 0.0) + segment.end_m - segment.start_m
    runs = sorted(hung, key=lambda run: -hung[run])
    longest = max(segments, key=lambda s: s.end_m - s.start_m)
    contact = "contact" if len(turnouts) == 1 else "contacts"
    return RULE.finding(
        f"{show_length(length, study.layout.settings.lengths)} of "
        f"{list_names([run_name(study.layout, run) for run in runs])} live only "
        f"through the {contact} of {list_names(turnouts)}, and one way at a time.",
        "no drop on these rails; a blade's contact wanders from 20 mΩ to ohms",
        "Cut the two inner rails behind the frog and give the track beyond its "
        "own drops.",
        parts=(*runs, *turnouts),
        place=OnRun(
            run=longest.run, position_m=0.5 * (longest.start_m + longest.end_m)
        ),
        size=length,
    )


RULE = Rule(
    "W116",
    Severity.ADVICE,
    "Fed through a contact only",
    source="A drop to each piece of rail, blades not relied on (common practice, no "
    "source).",
    check=check,
)
