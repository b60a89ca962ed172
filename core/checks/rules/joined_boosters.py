"""W121: two boosters feed the same metal."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.cuts import find_one_rail_cuts
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.ties import tie_among, tie_fix, tie_remedy
from core.checks.trail import trail_of_joined
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import Booster
from core.network.parallel import Meeting, find_meetings
from core.units.figures import show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pair or group of boosters that meet.

    One pole in common is no fault where both are said to share it, and it is W125
    where a cut through one rail only leaves it.
    """
    meetings = find_meetings(study.circuit, study.system.islands)
    half_cut = _half_cut(study) if meetings else set()
    for group in _groups(meetings):
        yield _both(study, group)
    for meeting in meetings:
        if len(meeting.poles) == 2:
            if meeting.crossed:
                yield _crossed(study, meeting)
        elif frozenset(meeting.boosters) in half_cut:
            continue
        elif meeting.crossed or not _is_meant(study, meeting):
            yield _one(study, meeting)


def _half_cut(study: Study) -> set[frozenset[PartId]]:
    """Return the pairs of boosters that a cut through one rail parts by half."""
    return {
        frozenset(study.feeds.chain(feed)[-1] for feed in cut.feeds)
        for cut in find_one_rail_cuts(study)
    }


def _groups(meetings: tuple[Meeting, ...]) -> list[list[Meeting]]:
    """Return the meetings of both poles, those of one piece of track together."""
    groups: list[list[Meeting]] = []
    for meeting in meetings:
        if len(meeting.poles) == 2 and not meeting.crossed:
            for group in groups:
                known = {booster for other in group for booster in other.boosters}
                if known & set(meeting.boosters):
                    group.append(meeting)
                    break
            else:
                groups.append([meeting])
    return groups


def _both(study: Study, group: list[Meeting]) -> Finding:
    names = list(dict.fromkeys(b for meeting in group for b in meeting.boosters))
    one, other = group[0].boosters
    way, back = (list_names(list(path)) for path in group[0].paths)
    return RULE.finding(
        f"{list_names(names)} feed the same track: nothing parts them.",
        f"A of {one} meets A of {other} by {way}; B meets B by {back}",
        f"{_parting(study, group[0])} Outputs of two supplies are never to be joined.",
        parts=tuple(dict.fromkeys((*names, *_parts(group[0])))),
        fix=_fix(study, group[0]),
        severity=Severity.HAZARD,
        size=2.0,
        trail=trail_of_joined(study.layout, group[0].ways[0]),
    )


def _crossed(study: Study, meeting: Meeting) -> Finding:
    one, other = meeting.boosters
    way, back = (list_names(list(path)) for path in meeting.paths)
    return RULE.finding(
        f"{one} and {other} feed the same track, A of one to B of the other: each "
        "drives its full current into the other.",
        f"A meets B by {way}, B meets A by {back}; {_sum(study, meeting)}",
        f"{_parting(study, meeting)} Then swap the two wires of one district's feed.",
        parts=_parts(meeting),
        fix=_fix(study, meeting),
        severity=Severity.HAZARD,
        size=3.0,
        trail=trail_of_joined(study.layout, meeting.ways[0]),
    )


def _one(study: Study, meeting: Meeting) -> Finding:
    one, other = meeting.boosters
    like = "A to B" if meeting.crossed else "like to like"
    volts = f"; {_sum(study, meeting)}" if meeting.crossed else ""
    return RULE.finding(
        f"{one} and {other} have one conductor in common, {like}; the other is parted.",
        f"joined by {list_names(list(meeting.paths[0]))}{volts}",
        "If no common is meant, a gap is missing in one rail: cut it. If it is meant, "
        "say so on both boosters, as their instructions have it.",
        parts=_parts(meeting),
        severity=Severity.HAZARD if meeting.crossed else RULE.severity,
        trail=trail_of_joined(study.layout, meeting.ways[0]),
    )


def _parting(study: Study, meeting: Meeting) -> str:
    """Return how to part the two districts."""
    tie = tie_among(study.layout, meeting.paths[0])
    if tie is not None:
        return tie_remedy(tie)
    return "Cut both rails where the two districts meet."


def _fix(study: Study, meeting: Meeting) -> Change | None:
    tie = tie_among(study.layout, meeting.paths[0])
    return tie_fix(study.layout, tie) if tie is not None else None


def _sum(study: Study, meeting: Meeting) -> str:
    volts = [study.layout.need(part, Booster).volts_v for part in meeting.boosters]
    first, second = (show_volts(v) for v in volts)
    return f"{first} + {second} = {show_volts(sum(volts))} between them"


def _parts(meeting: Meeting) -> tuple[PartId, ...]:
    return tuple(dict.fromkeys((*meeting.boosters, *meeting.paths[0])))


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
