"""What the last study of the layout said."""

from collections.abc import Callable
from dataclasses import dataclass, replace
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

    def aged(self) -> "Result":
        """Return it as one of a layout that has moved on; what is known stays known."""
        made = replace(self, stale=True)
        if "sound" in self.__dict__:
            made.__dict__["sound"] = self.sound
        return made


def _leave(_: Result) -> None:
    """Leave everything to be worked out when it is asked."""


@dataclass(frozen=True, slots=True)
class Examine:
    """What turns a copy of the layout into a result; called off the window thread.

    Attributes
    ----------
    study : callable
        Works everything out for a case: what is assumed, such as turnouts thrown.
    check : callable
        Runs the rules over a study.
    prepare : callable
        Works out what the window asks of every result: asked there first, it would
        stand still meanwhile.
    """

    study: Callable[[Layout, Case], Study]
    check: Callable[[Study], tuple[Finding, ...]]
    prepare: Callable[[Result], None] = _leave
