"""W103: conductor A meets conductor B."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.shorted import prospective_amps, show_short
from core.checks.trail import trail_of_short
from core.checks.turning import shorts_by_wiring
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.edits.flip import flip_connection
from core.layout.parts import Booster, Drop, OnRun
from core.layout.queries import part_name
from core.network.polarity import Short

MOST_ON_THE_WAY = 12
"""Parts of the closing path that are named. [1]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each booster whose poles are joined by its wiring.

    Track that turns back on itself uncut is another fault, W111: it is thought
    cut here, and where nothing else is wrong this rule keeps silent.
    """
    for short in shorts_by_wiring(study):
        booster = study.layout.need(short.booster, Booster)
        amps = prospective_amps(study, short.booster)
        yield RULE.finding(
            f"{short.booster} is shorted, A meets B{_blame(study, short)}.",
            f"{show_short(booster, amps)}; the shortest way is by "
            f"{list_names(_way(short), most=MOST_ON_THE_WAY)}",
            _remedy(short),
            parts=tuple(
                dict.fromkeys((*(c.part for c in short.culprits), *short.path))
            ),
            place=_place(study, short),
            severity=RULE.severity if amps >= booster.trip_a else Severity.HAZARD,
            size=float("inf"),
            fix=_fix(study, short),
            trail=trail_of_short(short.way),
        )


def _place(study: Study, short: Short) -> OnRun | None:
    """Return where the first suspect stands on the track, if it is a drop."""
    suspects = (study.layout.get(c.part, Drop) for c in short.culprits)
    return next((drop.on for drop in suspects if drop is not None), None)


def _way(short: Short) -> list[str]:
    return [part for part in short.path if part != short.booster]


def _blame(study: Study, short: Short) -> str:
    names = [part_name(study.layout, culprit.part) for culprit in short.culprits]
    if len(names) == 1:
        return f": {names[0]} is wired the wrong way round"
    if names:
        return f": one of {list_names(names)} is wired the wrong way round"
    return "; no one crossed pair explains it"


def _remedy(short: Short) -> str:
    if len(short.culprits) == 1:
        return f"Swap the two wires of {short.culprits[0].part}: that alone mends it."
    if short.culprits:
        return "Swap the two wires of one of them: any of them alone mends it."
    return "Follow the way from A to B on the plan: more than one pair is crossed."


def _fix(study: Study, short: Short) -> Change | None:
    if len(short.culprits) != 1:
        return None
    culprit = short.culprits[0]
    return flip_connection(study.layout, culprit.part, culprit.where)


RULE = Rule(
    "W103",
    Severity.FAULT,
    "A meets B",
    source="Parity of the connections: a closed way that crosses over an odd number "
    "of times joins the poles.",
    check=check,
)
