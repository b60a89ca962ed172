"""W113: a reversing section shorter than the longest train."""

from collections.abc import Iterator

from core.analysis.pits import find_passages
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.pits import stall_name
from core.checks.rule import Rule
from core.checks.trail import trail_of_path
from core.checks.turning import ends_of_turning, gap_place, owners
from core.layout.ids import PartId
from core.layout.parts import Load
from core.layout.queries import part_name
from core.network.reversing import ReversingPath, find_reversing
from core.network.sections import plan_sections
from core.network.spans import Span, find_spans
from core.units.length import show_length

SPARE_M = 0.1
"""The section is to be this much longer than the longest train (house choice). [m]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each reversing path on which a train bridges two ends.

    Ends are where the polarity may differ: the gaps at which a reverser's section
    begins. Only ways that a train can run count, so the two ways into the tail of
    a wye are none.
    """
    trains = [x for x in study.layout.of_kind(Load) if x.use == "train"]
    train = max(trains, key=lambda x: x.length_m, default=None)
    if train is None or train.length_m <= 0.0:
        return
    plan = plan_sections(study.layout)
    for path in find_reversing(study.layout):
        ends = _ends(study, path)
        spans = find_spans(study.layout, plan, ends, train.length_m)
        if spans:
            yield _finding(study, train, spans[0], path)
    yield from _over_bridges(study, train)


def _over_bridges(study: Study, train: Load) -> Iterator[Finding]:
    """Yield one finding for each way over a bridge that no reverser serves."""
    system = study.layout.settings.lengths
    for one, other in find_passages(study):
        across = one.table.across_mm / 1000.0
        turned = one.edge.reversers and other.edge.reversers
        if not turned or train.length_m <= across + 1e-9:
            continue
        stalls = [
            stall_name(study.layout, m.position.number, m.position.stall)
            for m in (one, other)
        ]
        fits, wants = (show_length(x, system) for x in (across, train.length_m))
        pit = part_name(study.layout, one.table.id)
        yield RULE.finding(
            f"From {stalls[0]} over the bridge of {pit} to {stalls[1]} the poles "
            f"change, and there are {fits}; "
            f"{part_name(study.layout, train.id)} is {wants} long.",
            f"{wants} > {fits}: it stands over both ends of the bridge at once",
            "Swap the feed of one of the two stalls, so that both fit the bridge at "
            "once, or take nothing longer than the bridge over it.",
            parts=(
                one.table.id,
                one.position.stall.run,
                other.position.stall.run,
                train.id,
            ),
            place=one.edge.place,
            size=train.length_m / across,
        )


def _ends(study: Study, path: ReversingPath) -> set[PartId]:
    """Return the gaps of a path between which a train must fit."""
    who = owners(study, path, "reverser")
    if any(who):
        return ends_of_turning(path, who)
    return set(path.gaps) if len(path.gaps) == 2 else set()


def _finding(study: Study, train: Load, span: Span, path: ReversingPath) -> Finding:
    system = study.layout.settings.lengths
    missing = train.length_m - span.length_m
    fits, wants, short = (
        show_length(x, system) for x in (span.length_m, train.length_m, missing)
    )
    return RULE.finding(
        f"From {span.first} to {span.second}, where the track turns, there are {fits}; "
        f"{part_name(study.layout, train.id)} is {wants} long.",
        f"{wants} − {fits} = {short} short",
        f"Move the gaps apart by {show_length(missing + SPARE_M, system)}, or run "
        "shorter trains there: metal wheels or lit cars over both gaps at once are a "
        "short that no reverser can cure.",
        parts=(span.first, span.second, train.id),
        place=gap_place(study.layout, span.first),
        size=train.length_m / span.length_m if span.length_m else 1e3,
        trail=trail_of_path(study.layout, path),
    )


RULE = Rule(
    "W113",
    Severity.FAULT,
    "Reversing section too short",
    source="At least the longest train with metal wheels or lights (common practice, "
    "no source).",
    check=check,
)
