"""W127: two breakers, or other devices, feed the same metal."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.ties import tie_among, tie_fix, tie_remedy
from core.checks.trail import trail_of_joined
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.layout.queries import kind_word
from core.network.parallel import Joined, find_joined, trace_joined
from core.network.reversing import find_reversing


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each piece of metal that devices feed side by side.

    Devices of two boosters are W121; a reverser whose section is not cut twice is
    W111 or W112; behind a shorted booster everything is one metal.
    """
    shorted = set(study.shorted)
    for joined in find_joined(study.circuit):
        tops = {study.feeds.chain(feeder)[-1] for feeder in joined.feeders}
        if len(tops) == 1 and not tops & shorted and not _is_turning(study, joined):
            yield _finding(study, joined)


def _is_turning(study: Study, joined: Joined) -> bool:
    devices = (study.layout.get(feeder, Inline) for feeder in joined.feeders)
    if not any(d is not None and d.device == "reverser" for d in devices):
        return False
    return any(len(path.gaps) < 2 for path in find_reversing(study.layout))


def _finding(study: Study, joined: Joined) -> Finding:
    feeders = list(joined.feeders)
    path, way = trace_joined(study.circuit, joined)
    above = {up for part in feeders for up in study.feeds.chain(part)[1:]}
    tops = [part for part in feeders if part in above]
    devices = [part for part in feeders if part not in above]
    if tops:
        first = f"{tops[0]} feeds the track behind {list_names(devices)} past it"
        what = f"{_kind(study, devices[0])} never sees all of the current"
    else:
        first = f"{list_names(devices)} feed the same track"
        what = "nothing parts them, so that one feeds what the other has switched off"
    tie = tie_among(study.layout, path)
    return RULE.finding(
        f"{first}: {what}.",
        f"{len(feeders)} feeds on one piece of metal, 1 is right; joined by "
        f"{list_names(path)}",
        tie_remedy(tie)
        if tie is not None
        else "Cut both rails where the two districts meet, or take away the drop that "
        "hangs on the wrong bus.",
        parts=tuple(dict.fromkeys((*devices, *tops, *path))),
        fix=tie_fix(study.layout, tie) if tie is not None else None,
        trail=trail_of_joined(study.layout, way),
    )


def _kind(study: Study, part: PartId) -> str:
    return f"the {kind_word(study.layout.parts[part])}"


RULE = Rule(
    "W127",
    Severity.FAULT,
    "Two devices joined",
    source="A district has one feed: a breaker that another one feeds past protects "
    "nothing (common practice, no source).",
    check=check,
)
