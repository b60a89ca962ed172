"""A finding: what is wrong, where, by how much, and what to do."""

from dataclasses import dataclass
from enum import StrEnum

from core.checks.trail import Trail
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import OnRun


class Severity(StrEnum):
    """How bad it is: HAZARD can hurt or burn, FAULT will not work, ADVICE may."""

    HAZARD = "hazard"
    FAULT = "fault"
    ADVICE = "advice"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding of one rule.

    Attributes
    ----------
    code : str
        The rule's number, such as W201; never changes its meaning.
    severity : Severity
        How bad it is.
    title : str
        A few words, the same for all findings of the rule.
    sentence : str
        One plain sentence that names the parts and the figures.
    figures : str
        The sum behind it, such as "15.0 V − 13.2 V = 1.8 V = 12 % > 10 %".
    remedy : str
        What to do.
    parts : tuple of PartId
        What to look at, most important first.
    place : OnRun or None
        Where to go on the plan.
    source : str
        Where the limit comes from.
    size : float
        How far beyond the limit, as a ratio: 1 is just at it. Ranks findings of
        the same severity.
    fix : Change or None
        The remedy as one undoable step, where that is safe.
    trail : Trail or None
        The way by which it comes about, to be drawn on the plan.
    """

    code: str
    severity: Severity
    title: str
    sentence: str
    figures: str
    remedy: str
    parts: tuple[PartId, ...] = ()
    place: OnRun | None = None
    source: str = ""
    size: float = 1.0
    fix: Change | None = None
    trail: Trail | None = None
