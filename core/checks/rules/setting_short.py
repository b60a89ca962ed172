"""W115: a short that only some setting of the turnouts makes."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import OnRun, Turnout
from core.network.polarity import Culprit
from core.network.settings import SettingShort, find_setting_shorts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each booster that some setting shorts."""
    crossed = _crossed(study)
    for short in find_setting_shorts(study.circuit, without=crossed):
        bare = _without_heel_gaps(study, short)
        whose = list_names(bare) if bare else "these turnouts"
        yield RULE.finding(
            f"With {_setting(short)}, A meets B at {short.booster}: a live crossing is "
            "fed from its heel.",
            f"{len(short.thrown) + len(short.straight)} live crossings on the way from "
            "A to B, each lying one way",
            f"Cut both rails behind the crossing of {whose}, and give the track "
            "beyond its own drops.",
            parts=(*short.thrown, *short.straight, short.booster),
            place=_toe(study, short),
            fix=refit(
                study.layout,
                bare,
                f"Cut heel gaps at {list_names(bare)}",
                heel_gaps=True,
            )
            if bare
            else None,
        )


def _crossed(study: Study) -> frozenset[int]:
    """Return the branches of the connection that alone explains a short there is."""
    found: set[int] = set()
    for short in study.shorts:
        if len(short.culprits) == 1:
            (culprit,) = short.culprits
            for link in study.circuit.links:
                if culprit in (
                    Culprit(link.part, link.where),
                    Culprit(link.on or link.part, "strip"),
                ):
                    found.update(link.branches)
    return frozenset(found)


def _setting(short: SettingShort) -> str:
    words = []
    if short.thrown:
        words.append(f"{list_names(list(short.thrown))} thrown")
    if short.straight:
        words.append(f"{list_names(list(short.straight))} straight")
    return " and ".join(words)


def _without_heel_gaps(study: Study, short: SettingShort) -> list[PartId]:
    return [
        part
        for part in (*short.thrown, *short.straight)
        if not study.layout.need(part, Turnout).heel_gaps
    ]


def _toe(study: Study, short: SettingShort) -> OnRun:
    first = (*short.thrown, *short.straight)[0]
    return study.layout.need(first, Turnout).on


RULE = Rule(
    "W115",
    Severity.FAULT,
    "Shorted by a turnout's setting",
    source="The crossing takes the pole of the stock rail its contact lies on; what is "
    "fed beyond it keeps its own.",
    check=check,
)
