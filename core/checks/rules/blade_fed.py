"""W116: rails that live only through a turnout's contact."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import OnRun, Turnout
from core.layout.queries import run_name
from core.network.circuit import Segment
from core.network.settings import fixed_metal
from core.units.length import show_length

MOST_M = 0.3
"""Shorter stretches are the crossing itself (house choice). [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each run with rails that hang on a contact alone."""
    circuit = study.circuit
    if not circuit.frogs:
        return
    metal = fixed_metal(circuit)
    poles = {int(metal[n]) for s in circuit.sources for n in (s.plus, s.minus)}
    found: dict[PartId, list[Segment]] = {}
    for segment in circuit.segments:
        rails = (segment.left0, segment.right0)
        if any(
            int(metal[n]) not in poles and study.system.islands.live[n] for n in rails
        ):
            found.setdefault(segment.run, []).append(segment)
    for run, segments in found.items():
        length = sum(s.end_m - s.start_m for s in segments)
        if length > MOST_M:
            yield _finding(study, run, segments, length)


def _finding(
    study: Study, run: PartId, segments: list[Segment], length: float
) -> Finding:
    near = [
        t.id
        for t in study.layout.of_kind(Turnout)
        if t.frog != "insulated" and run in (t.on.run, t.leg.run)
    ]
    first = segments[0]
    return RULE.finding(
        f"{show_length(length, study.layout.settings.lengths)} of "
        f"{run_name(study.layout, run)} gets its power only through the contacts of "
        f"{list_names(near)}.",
        "no drop on these rails; a blade's contact wanders from 20 mΩ to ohms",
        "Cut the heel gaps and give the track beyond its own drop.",
        parts=(run, *near),
        place=OnRun(run=run, position_m=0.5 * (first.start_m + first.end_m)),
        size=length,
    )


RULE = Rule(
    "W116",
    Severity.ADVICE,
    "Fed through blades only",
    source="A drop to each piece of rail, blades not relied on (common practice, no "
    "source).",
    check=check,
)
