"""What a change would make of the layout: its lowest volts, its weakest short."""

from dataclasses import dataclass
from typing import Any, Self

from core.analysis.probe import judge_drop, judge_short
from core.analysis.study import Study, Verdict


@dataclass(frozen=True, slots=True)
class Outcome:
    """The worst places of a layout, judged.

    Attributes
    ----------
    volts_v : float or None
        Lowest volts with the test train; None where no track is fed by a booster
        that is not shorted. [V]
    drop_share : float or None
        What is lost there. [1]
    margin : float or None
        Weakest short current over trip current. [1]
    drop_verdict, short_verdict : Verdict
        By the limits of the settings.
    """

    volts_v: float | None
    drop_share: float | None
    margin: float | None
    drop_verdict: Verdict
    short_verdict: Verdict

    @classmethod
    def of(cls, study: Study, **own: Any) -> Self:
        """Return what a study of the sound part comes to, with fields of one's own."""
        limits = study.layout.settings.limits
        worst, weak = study.worst_volts, study.weakest_short
        volts = worst.value if worst is not None else None
        share = _share(study, volts)
        margin = weak.value if weak is not None else None
        return cls(
            volts_v=volts,
            drop_share=share,
            margin=margin,
            drop_verdict=judge_drop(share, volts, limits)
            if share is not None and volts is not None
            else "dead",
            short_verdict=judge_short(margin, limits),
            **own,
        )

    @property
    def passes(self) -> bool:
        """Whether both verdicts are good."""
        return self.drop_verdict == "good" and self.short_verdict == "good"


def _share(study: Study, volts: float | None) -> float | None:
    highest = max((b.volts_v for b in study.boosters), default=0.0)
    return None if volts is None or highest == 0.0 else 1.0 - volts / highest
