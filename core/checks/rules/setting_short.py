"""W115: a short that only some setting of the turnouts makes."""

from collections.abc import Iterator
from dataclasses import replace

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.trail import trail_of_setting, trail_of_short
from core.checks.turning import (
    dead_crossings,
    shorts_by_wiring,
    without_turning,
)
from core.checks.words import count_of, list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import OnRun, Turnout
from core.network.build import build_circuit
from core.network.circuit import Circuit
from core.network.heels import find_fed_heels, with_heel_gaps
from core.network.polarity import Culprit
from core.network.settings import SettingShort, find_setting_shorts, trace_setting


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each way in which live crossings short a booster.

    Crossed pairs, track that turns back uncut and diamonds of one metal are other
    faults: they are thought away, so that they hide nothing here.
    """
    layout = dead_crossings(without_turning(study))
    heels = find_fed_heels(layout) if study.shorts else ()
    for turnout, booster in heels:
        yield _always(study, turnout, booster)
    named = {turnout for turnout, _ in heels}
    circuit = study.circuit
    if study.shorts:
        circuit = build_circuit(with_heel_gaps(layout, named), loads=False)
    crossed = _crossed(study, circuit)
    for short in find_setting_shorts(circuit, without=crossed):
        bare = _without_heel_gaps(study, short)
        if not bare or not named.issuperset(bare):
            named.update(bare)
            way = trace_setting(circuit, short, without=crossed)
            trail = trail_of_setting(short, way) if way is not None else None
            yield replace(_sometimes(study, short, bare), trail=trail)


def _always(study: Study, turnout: PartId, booster: PartId) -> Finding:
    return RULE.finding(
        f"{turnout} shorts {booster} whichever way it lies: both rails behind its live "
        "frog have power of their own, and meet in it.",
        "2 poles on 1 live frog; behind it the inner rails lead on uncut",
        f"Cut the two inner rails behind the frog of {turnout}.",
        parts=(turnout, booster),
        place=study.layout.need(turnout, Turnout).on,
        size=2.0,
        fix=_cut(study, [turnout]),
        trail=next(
            (
                trail_of_short(short.way)
                for short in study.shorts
                if short.booster == booster and turnout in short.path
            ),
            None,
        ),
    )


def _sometimes(study: Study, short: SettingShort, bare: list[PartId]) -> Finding:
    whose = list_names(bare) if bare else "these turnouts"
    crossings = len(short.thrown) + len(short.straight)
    return RULE.finding(
        f"With {_setting(short)}, {short.booster} is shorted: the rails behind a live "
        "frog feed it from its heel with the wrong pole.",
        f"{count_of(crossings, 'live frog')} on the way from A to B; behind each "
        "the inner rails lead on uncut",
        f"Cut the two inner rails behind the frog of {whose}, and give the track "
        "beyond its own drops.",
        parts=(*short.thrown, *short.straight, short.booster),
        place=_toe(study, short),
        fix=_cut(study, bare) if bare else None,
    )


def _cut(study: Study, turnouts: list[PartId]) -> Change:
    label = f"Cut heel gaps at {list_names(turnouts)}"
    return refit(study.layout, turnouts, label, heel_gaps=True)


def _crossed(study: Study, circuit: Circuit) -> frozenset[int]:
    """Return the branches of a connection that alone explains the shorts there are."""
    found: set[int] = set()
    for short in shorts_by_wiring(study):
        for culprit in short.culprits[:1]:
            for link in circuit.links:
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
    source="The frog takes the pole of the stock rail its contact lies on; what is "
    "fed beyond it keeps its own.",
    check=check,
)
