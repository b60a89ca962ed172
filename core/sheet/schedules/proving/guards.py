"""What guards the layout: who trips first, and how power comes back."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from core.analysis.restart import Restart, plan_restart
from core.analysis.study import Clearing, Study, trip_chain
from core.checks.rules.wrong_order import LEAST_RATIO
from core.layout.ids import PartId
from core.layout.parts import Booster, Inline

Order = Literal["alone", "first", "hardly", "by time", "by current", "not wired"]
"""How a device stands against those above it: nothing above trips; it is first;
hardly first; one above is as fast or faster; one above trips at less; no booster
feeds it."""


@dataclass(frozen=True, slots=True)
class GuardRow:
    """One device that trips.

    Attributes
    ----------
    device : Booster or Inline
        The device.
    own : Clearing
        Its trip.
    above : tuple of Clearing
        What trips above it, the nearest first.
    order : Order
        Whether it is first.
    rival : Clearing or None
        The one above that it is measured against, None where nothing is.
    """

    device: Booster | Inline
    own: Clearing
    above: tuple[Clearing, ...]
    order: Order
    rival: Clearing | None


@dataclass(frozen=True, slots=True)
class Return:
    """How one device comes back, and what its booster gives meanwhile.

    `peak_a` is its trip current while its stores charge, and what stands still
    behind those that came back before it, under one booster. [A]
    """

    restart: Restart
    booster: Booster
    peak_a: float

    @property
    def order(self) -> tuple[float, str, str]:
        """What returns are sorted by."""
        return self.restart.close_after_s, self.booster.id, self.restart.part


def guard_rows(study: Study) -> tuple[GuardRow, ...]:
    """Return every device that trips, each booster followed by what is behind it."""
    number = {part: i for i, part in enumerate(study.layout.parts)}
    rows = [row for part in _devices(study) for row in _guard(study, part)]

    def turn(row: GuardRow) -> tuple[int, ...]:
        return tuple(number[p] for p in reversed(study.feeds.chain(row.device.id)))

    return tuple(sorted(rows, key=turn))


def returns(study: Study) -> tuple[Return, ...]:
    """Return how each device that has loads behind it comes back, in that order."""
    given: dict[PartId, float] = {}
    found: list[Return] = []
    for restart in sorted(plan_restart(study), key=lambda r: r.close_after_s):
        chain = study.feeds.chain(restart.part)
        booster = study.layout.need(chain[-1], Booster)
        device = study.clearing_of(restart.part)
        assert device is not None, "only devices that trip are asked"
        charging = device.trip_a if restart.stores else restart.idle_a
        before = given.get(booster.id, 0.0)
        found.append(Return(restart, booster, before + charging))
        given[booster.id] = before + restart.idle_a
    return tuple(sorted(found, key=lambda r: r.order))


def _devices(study: Study) -> Iterable[Booster | Inline]:
    yield from study.layout.of_kind(Booster)
    yield from study.layout.of_kind(Inline)


def _guard(study: Study, device: Booster | Inline) -> Iterable[GuardRow]:
    chain = trip_chain(study.layout, study.feeds, device.id)
    if not chain or chain[0].part != device.id:
        return
    own, above = chain[0], chain[1:]
    lower = [a for a in above if a.trip_a < own.trip_a]
    rival = min(lower or above, key=lambda a: a.trip_s, default=None)
    top = study.layout.parts.get(study.feeds.chain(device.id)[-1])
    order = _order(own, rival) if isinstance(top, Booster) else "not wired"
    yield GuardRow(device, own, above, order, rival)


def _order(own: Clearing, rival: Clearing | None) -> Order:
    if rival is None:
        return "alone"
    if rival.trip_a < own.trip_a:
        return "by current"
    if rival.trip_s <= own.trip_s:
        return "by time"
    return "first" if rival.trip_s >= LEAST_RATIO * own.trip_s else "hardly"
