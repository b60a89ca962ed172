"""What the last study of the layout said."""

from collections.abc import Callable
from dataclasses import dataclass

from core.analysis.study import Case, Study
from core.checks.finding import Finding
from core.layout.layout import Layout


@dataclass(frozen=True, slots=True)
class Result:
    """A study and its findings; `stale` once the layout has moved on."""

    study: Study
    findings: tuple[Finding, ...]
    stale: bool = False


@dataclass(frozen=True, slots=True)
class Examine:
    """What turns a copy of the layout into a result; called off the window thread.

    Attributes
    ----------
    study : callable
        Works everything out for a case: what is assumed, such as turnouts thrown.
    check : callable
        Runs the rules over a study.
    """

    study: Callable[[Layout, Case], Study]
    check: Callable[[Study], tuple[Finding, ...]]
