"""W101: rail that no booster reaches."""

from collections.abc import Iterator

from core.analysis.study import Study, UnfedStretch
from core.checks.contacts import hung_segments
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.ties import cutting_crossings
from core.checks.words import count_of, list_names
from core.layout.ids import PartId
from core.layout.openings import opened_devices
from core.layout.parts import Booster, OnRun, Opening
from core.layout.queries import run_name
from core.network.circuit import Segment
from core.units.length import show_length
from core.units.si import Metre

_SIDES = {
    "both": "no booster reaches its two rails",
    "left": "no booster reaches its left rail",
    "right": "no booster reaches its right rail",
    "same": "both its rails hang on one conductor",
}


LEAST_M = 0.05
"""Shorter stretches are the metal of a crossing: other wheels carry a train over. [m]

House choice.
"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each run that has unfed rail."""
    if not any(True for _ in study.layout.of_kind(Booster)):
        yield from _no_booster(study)
        return
    off = _switched_off(study)
    runs: dict[PartId, list[UnfedStretch]] = {}
    hung = _hung_on_contacts(study)
    for stretch in _off_sections(study):
        if not _is_shorted(study, stretch) and not _is_within(stretch, hung):
            runs.setdefault(stretch.run, []).append(stretch)
    for run, stretches in runs.items():
        if sum(s.end_m - s.start_m for s in stretches) > LEAST_M:
            yield _unfed_run(study, run, stretches, off)


def _off_sections(study: Study) -> Iterator[UnfedStretch]:
    """Yield the unfed stretches without what lies on openings: that is W508."""
    openings = list(study.layout.of_kind(Opening))
    for stretch in study.unfed:
        left = [(stretch.start_m, stretch.end_m)]
        for carried in (c for o in openings for c in o.carries if c.run == stretch.run):
            low, high = carried.from_m, carried.to_m
            left = (
                [
                    part
                    for a, b in left
                    for part in ((a, min(b, low)), (max(a, high), b))
                    if part[1] > part[0]
                ]
                if high > low
                else left
            )
        for start, end in left:
            yield UnfedStretch(stretch.run, start, end, stretch.sides)


def _no_booster(study: Study) -> Iterator[Finding]:
    runs = tuple(dict.fromkeys(s.run for s in study.unfed))
    if runs:
        yield RULE.finding(
            f"There is no booster yet: {count_of(len(runs), 'track')} without power.",
            f"unfed: {list_names([run_name(study.layout, run) for run in runs])}",
            "Place a booster, run a bus from it and hang drops on the bus.",
            parts=runs,
            place=OnRun(run=runs[0], position_m=0.0),
        )


def _unfed_run(
    study: Study, run: PartId, stretches: list[UnfedStretch], off: dict[int, PartId]
) -> Finding:
    name = run_name(study.layout, run)
    why = list_names(list(dict.fromkeys(_SIDES[s.sides] for s in stretches)))
    length = sum(s.end_m - s.start_m for s in stretches)
    middle = (stretches[0].start_m + stretches[0].end_m) / 2.0
    switch = next(
        (off[i] for s in stretches for i in _islands(study, s) if i in off), ""
    )
    remedy = "Give it a drop, or join it to track that has one."
    if switch:
        opens_with = _opens_with(study, PartId(switch))
        why = f"{opens_with or switch} is open"
        close = f"Shut {opens_with}" if opens_with else f"Close {switch}"
        remedy = f"{close} when trains are to run there."
    ends = [place for s in stretches for place in (s.start_m, s.end_m)]
    crossings = cutting_crossings(study.layout, run, ends)
    if crossings and not switch:
        why += f"; {list_names(crossings)} cuts it there"
        remedy = f"Give it a drop on that side of {list_names(crossings)} too."
    return RULE.finding(
        f"{_show(study, length)} of {name} has no power: {why}.",
        ", ".join(
            f"{_show(study, s.start_m)} to {_show(study, s.end_m)}" for s in stretches
        ),
        remedy,
        parts=(run, PartId(switch)) if switch else (run, *crossings),
        place=OnRun(run=run, position_m=middle),
        severity=Severity.ADVICE if switch else RULE.severity,
        size=1.0 + length,
    )


def _opens_with(study: Study, switch: PartId) -> PartId | None:
    """Return the opening that stands open and takes a switch with it."""
    for opening in study.layout.of_kind(Opening):
        if opening.id in study.case.opened and opening.contact == switch:
            return opening.id
    return None


def _is_shorted(study: Study, stretch: UnfedStretch) -> bool:
    """Tell whether the poles of its booster are joined: then that is the fault."""
    if stretch.sides != "same":
        return False
    label = study.system.islands.label
    shorted = set(study.shorted)
    bad = {int(label[s.plus]) for s in study.circuit.sources if s.part in shorted}
    return bool(bad & _islands(study, stretch))


def _hung_on_contacts(study: Study) -> list[Segment]:
    """Return the track that is dead for this setting only: that is W116."""
    return [study.circuit.segments[i] for i in hung_segments(study)]


def _is_within(stretch: UnfedStretch, segments: list[Segment]) -> bool:
    inside = sum(
        s.end_m - s.start_m
        for s in segments
        if s.run == stretch.run and stretch.start_m <= s.start_m < stretch.end_m
    )
    return stretch.sides == "same" and inside >= stretch.end_m - stretch.start_m - 1e-6


def _islands(study: Study, stretch: UnfedStretch) -> set[int]:
    label = study.system.islands.label
    return {
        int(label[node])
        for s in study.circuit.segments
        if s.run == stretch.run and stretch.start_m <= s.start_m < stretch.end_m
        for node in (s.left0, s.right0)
    }


def _switched_off(study: Study) -> dict[int, PartId]:
    """Return which open device stands before which dead island."""
    label = study.system.islands.label
    live = study.system.islands.live
    open_ids = opened_devices(study.layout, study.case.opened)
    return {
        int(label[i]): node.part
        for i, node in enumerate(study.circuit.nodes)
        if node.part in open_ids and not live[i]
    }


def _show(study: Study, length_m: float) -> str:
    return show_length(Metre(length_m), study.layout.settings.lengths)


RULE = Rule(
    "W101",
    Severity.FAULT,
    "Rail without power",
    source="A train needs both poles of a booster; common practice: a drop a piece.",
    check=check,
)
