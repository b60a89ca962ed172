"""What guards the layout: who trips first on a short behind each device."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from core.analysis.study import Clearing, Study, trip_chain
from core.checks.rules.wrong_order import LEAST_RATIO
from core.layout.parts import Booster, Inline
from core.units.figures import show_amps, show_seconds

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


def guard_rows(study: Study) -> tuple[GuardRow, ...]:
    """Return every device that trips, each booster followed by what is behind it."""
    number = {part: i for i, part in enumerate(study.layout.parts)}
    rows = [row for part in _devices(study) for row in _guard(study, part)]

    def turn(row: GuardRow) -> tuple[int, ...]:
        return tuple(number[p] for p in reversed(study.feeds.chain(row.device.id)))

    return tuple(sorted(rows, key=turn))


def first_words(row: GuardRow) -> str:
    """Return who trips first on a short behind a device, and why."""
    own, rival = row.own, row.rival
    if row.order == "not wired":
        return f"▲ {own.part} is not wired: no booster feeds it"
    if rival is None:
        return f"{own.part}: nothing above it trips"
    times = f"{show_seconds(own.trip_s)} against {show_seconds(rival.trip_s)}"
    match row.order:
        case "by current":
            return (
                f"▲ {rival.part}: trips at {show_amps(rival.trip_a)}, below "
                f"{show_amps(own.trip_a)}"
            )
        case "by time":
            return f"▲ {rival.part} wins: {times}"
        case "hardly":
            return f"▲ {own.part}, but hardly: {times}"
        case _:
            return f"{own.part}: {times}"


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
