"""What a rule is: a number that never changes its meaning, and how to check it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypedDict, Unpack

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.trail import Trail
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import OnRun

Check = Callable[[Study], Iterator[Finding]]
"""Reads results out of a study; solves nothing."""


class Details(TypedDict, total=False):
    """What a finding may say beside its words; see `Finding`."""

    severity: Severity
    parts: tuple[PartId, ...]
    place: OnRun | None
    size: float
    fix: Change | None
    trail: Trail | None


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes
    ----------
    code : str
        Such as W201. W1xx structure, W2xx wires, W3xx protection, W4xx
        supplies, W5xx holes, leads and screws. Never used for another meaning.
    severity : Severity
        The usual one; a finding may differ.
    title : str
        The fault in a few words.
    source : str
        Where the limit comes from.
    check : callable
        Yields the findings of a study.
    """

    code: str
    severity: Severity
    title: str
    source: str
    check: Check

    def finding(
        self, sentence: str, figures: str, remedy: str, **details: Unpack[Details]
    ) -> Finding:
        """Return a finding of this rule."""
        return Finding(
            code=self.code,
            severity=details.get("severity", self.severity),
            title=self.title,
            sentence=sentence,
            figures=figures,
            remedy=remedy,
            parts=details.get("parts", ()),
            place=details.get("place"),
            source=self.source,
            size=details.get("size", 1.0),
            fix=details.get("fix"),
            trail=details.get("trail"),
        )
