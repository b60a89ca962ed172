"""W102: a piece of rail that only a joiner feeds."""

from collections import defaultdict, deque
from collections.abc import Iterator

from core.analysis.sound import sound_segments
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import count_of
from core.layout.ids import PartId
from core.layout.parts import Crossing, OnRun, TrackJoint, TrackRun, Turnout
from core.layout.queries import run_name
from core.materials.joints import joint
from core.network.circuit import Branch, BranchKind, Segment
from core.units.length import show_length
from core.units.si import Metre

FIRM = "soldered"
"""The joint that makes two pieces of rail one."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each run with pieces that have no drop of their own."""
    firm = _reached_firmly(study)
    sound = sound_segments(study)
    weak: defaultdict[PartId, list[list[Segment]]] = defaultdict(list)
    for i, segment in enumerate(study.circuit.segments):
        if not sound[i] or (segment.left0 in firm and segment.right0 in firm):
            continue
        pieces = weak[segment.run]
        if pieces and _is_one_piece(study, pieces[-1][-1], segment):
            pieces[-1].append(segment)
        else:
            pieces.append([segment])
    for run, pieces in weak.items():
        yield _finding(study, run, [(p[0].start_m, p[-1].end_m) for p in pieces])


def _finding(study: Study, run: PartId, pieces: list[tuple[float, float]]) -> Finding:
    lengths = study.layout.settings.lengths
    total = sum(end - start for start, end in pieces)
    start, end = max(pieces, key=lambda piece: piece[1] - piece[0])
    has = "has" if len(pieces) == 1 else "have"
    return RULE.finding(
        f"{count_of(len(pieces), 'piece')} of {run_name(study.layout, run)} {has} "
        f"no drop: power comes through joiners only.",
        f"{show_length(Metre(total), lengths)} in all; the longest from "
        f"{show_length(Metre(start), lengths)} to {show_length(Metre(end), lengths)}",
        "Give each piece its own drop, or solder its joiners.",
        parts=(run,),
        place=OnRun(run=run, position_m=(start + end) / 2.0),
        size=1.0 + total,
    )


def _is_one_piece(study: Study, before: Segment, after: Segment) -> bool:
    if before.end_m != after.start_m:
        return False
    same = (before.left1, before.right1) == (after.left0, after.right0)
    return same or study.layout.need(before.run, TrackRun).joint == FIRM


def _reached_firmly(study: Study) -> set[int]:
    """Return the rail nodes that a drop reaches without passing a joiner."""
    live = study.system.islands.live
    beside: defaultdict[int, list[int]] = defaultdict(list)
    reached: set[int] = set()
    for branch in study.circuit.branches:
        if branch.kind is BranchKind.DROP and live[branch.head]:
            reached.add(branch.head)
        elif branch.kind is BranchKind.RAIL or _is_firm(study, branch):
            beside[branch.tail].append(branch.head)
            beside[branch.head].append(branch.tail)
    queue = deque(reached)
    while queue:
        for other in beside[queue.popleft()]:
            if other not in reached:
                reached.add(other)
                queue.append(other)
    return reached


def _is_firm(study: Study, branch: Branch) -> bool:
    if branch.kind is not BranchKind.JOINT:
        return False
    part = study.layout.parts[branch.part]
    if isinstance(part, Crossing):
        return branch.ohm <= joint(FIRM).ohm  # one metal, or soldered slip roads
    return isinstance(part, TrackRun | TrackJoint | Turnout) and part.joint == FIRM


RULE = Rule(
    "W102",
    Severity.ADVICE,
    "Fed through joiners only",
    source="Common practice, no source: each rail length fed, joiners not trusted.",
    check=check,
)
