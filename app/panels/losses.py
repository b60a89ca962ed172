"""Where the volts went, rounded so that the sum still comes out to the cent."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from core.analysis.study import Loss, Probe
from core.layout.ids import PartId

WORDS = {
    "supply": "booster",
    "breaker": "devices",
    "bus": "bus",
    "contact": "contacts",
    "drop": "drop",
    "joint": "rail joints",
    "rail": "rail",
}
"""What a builder calls each kind of loss."""


FIRM_SPACE = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Share:
    """One row: a word, whole hundredths of a volt, and the parts it was lost in."""

    word: str
    cents: int
    parts: tuple[PartId, ...]


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum that comes out: source − shares = volts, in hundredths of a volt."""

    source_cents: int
    volts_cents: int
    shares: tuple[Share, ...]

    def sentence(self) -> str:
        """Return the sum in words, such as "15.00 − 0.31 bus = 14.69 V".

        Lines may only break before a sign.
        """
        terms = [
            f"{'−' if s.cents >= 0 else '+'} {_volts(abs(s.cents))} {s.word}"
            for s in self.shares
            if s.cents
        ]
        whole = [_volts(self.source_cents), *terms, f"= {_volts(self.volts_cents)} V"]
        return " ".join(term.replace(" ", FIRM_SPACE) for term in whole)


def sum_of(probe: Probe) -> Sum:
    """Return the loss at a point as a sum that comes out.

    Each loss is rounded down, and the hundredths that are then missing go to
    those that lost most by it; no row is off by a whole hundredth.
    """
    source, volts = round(probe.source_v * 100), round(probe.volts_v * 100)
    exact = [loss.volts_v * 100 for loss in probe.breakdown]
    cents = _round_to(exact, source - volts)
    shares = tuple(
        _share(loss, c) for loss, c in zip(probe.breakdown, cents, strict=True)
    )
    return Sum(source, volts, shares)


def _round_to(exact: Sequence[float], total: int) -> list[int]:
    cents = [floor(value) for value in exact]
    missing = total - sum(cents)
    by_loss = sorted(range(len(exact)), key=lambda i: cents[i] - exact[i])
    for i in by_loss[: max(missing, 0)]:
        cents[i] += 1
    return cents


def _share(loss: Loss, cents: int) -> Share:
    return Share(WORDS.get(loss.kind, loss.kind), cents, loss.parts)


def _volts(cents: int) -> str:
    return f"{cents / 100:.2f}"
