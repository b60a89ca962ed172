"""W131: a live three-way turnout, whose third crossing needs a contact of its own."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.edits.sides import other_side
from core.network.three_way import find_three_ways
from core.units.length import show_length
from core.units.si import Metre

_BOTH = (
    "Fed through the blades of both it is a short: with both straight they have unlike "
    "poles. The figures take it as cut out."
)
_ONE = "The figures take it as cut out and dead."


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each three-way turnout with a live crossing."""
    for pair in find_three_ways(study.layout):
        frogs = {pair.first.frog, pair.second.frog}
        if frogs == {"insulated"}:
            continue
        far = show_length(Metre(pair.third_m), study.layout.settings.lengths)
        one, other = pair.first, pair.second
        both = frogs == {"self-powered"}
        yield RULE.finding(
            f"The legs of {one.id} and {other.id} cross each other {far} from the toe "
            f"of {one.id}: a third frog. {_BOTH if both else _ONE}",
            f"{one.id} thrown, it must have the pole of the "
            f"{other_side(one.hand)} stock rail; {other.id} thrown, that of the "
            f"{other_side(other.hand)} one",
            f"Cut it out on all four sides, lead its two rails on with wires, and feed "
            f"it over a second contact of {one.id}: the {one.hand} stock rail while "
            f"{one.id} is straight, the {other_side(one.hand)} one when it is thrown. "
            "Or leave it dead.",
            parts=(one.id, other.id),
            place=pair.place,
            severity=Severity.FAULT if both else Severity.ADVICE,
        )


RULE = Rule(
    "W131",
    Severity.ADVICE,
    "Third frog",
    source="Geometry: the inner rails of two legs cross where their centre lines are a "
    "gauge apart.",
    check=check,
)
