"""What the last study of the layout said."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from core.analysis.study import Case, Study
from core.checks.finding import Finding
from core.layout.layout import Layout


@dataclass(frozen=True)
class Result:
    """A study and its findings; `stale` once the layout has moved on."""

    study: Study
    findings: tuple[Finding, ...]
    stale: bool = False

    @cached_property
    def sound(self) -> Study:
        """The study without track whose booster is shorted; see `sound_part`."""
        # Late: the analysis brings scipy, which the first paint need not wait for.
        from core.analysis.sound import sound_part  # noqa: PLC0415

        return sound_part(self.study)


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
