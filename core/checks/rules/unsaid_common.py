"""W404: boosters whose common nobody has settled."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Booster


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding where several boosters have no one answer to it.

    Only their instructions can tell; this program never decides it.
    """
    boosters = [b for b in study.layout.of_kind(Booster) if b.use == "main"]
    said = {
        answer: [b.id for b in boosters if b.common == answer]
        for answer in ("joined", "separate", "not said")
    }
    answers = [answer for answer, ids in said.items() if ids]
    if len(boosters) < 2 or (len(answers) == 1 and not said["not said"]):
        return
    unsaid = said["not said"]
    words = [f"{list_names(said[a])}: {a}" for a in answers]
    if said["joined"] and said["separate"]:
        first = (
            f"Two answers about the boosters' common: {list_names(said['joined'])} "
            f"{_says(said['joined'])} joined, {list_names(said['separate'])} "
            f"{_says(said['separate'])} separate."
        )
    else:
        first = (
            f"Nobody has said yet whether the common of {list_names(unsaid)} is to be "
            "joined to that of the others."
        )
    yield RULE.finding(
        first,
        "; ".join(words),
        "Read the instructions of each booster and set its common as they have it. "
        "Where they do not agree, ask the makers before anything is joined.",
        parts=tuple(b.id for b in boosters),
    )


def _says(ids: list[PartId]) -> str:
    return "says" if len(ids) == 1 else "say"


RULE = Rule(
    "W404",
    Severity.ADVICE,
    "Common not settled",
    source="Instructions flatly contradict each other (needs 6, caution 8): ask, "
    "record, never guess.",
    check=check,
)
