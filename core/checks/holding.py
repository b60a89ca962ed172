"""Every conductor against what protects it, one row a kind, size and device.

Of all conductors alike behind one device the weakest is told: the one that stands
least, and of these the one that the strongest short runs through.
"""

from collections import defaultdict
from dataclasses import dataclass

from core.analysis.study import Study
from core.checks.bearing import MOST_CONTACT_W
from core.checks.conductors import KINDS, Conductor, Kind, conductors
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.queries import place_name
from core.materials.heat import K_PVC
from core.units.figures import (
    show_amps,
    show_let_through,
    show_ohms,
    show_seconds,
    show_watts,
)


@dataclass(frozen=True, slots=True)
class HoldRow:
    """The weakest conductor of one kind and size behind one device, and their number.

    `count` is of wires, contacts or joints (of two sides each), for rails of tracks.
    """

    worst: Conductor
    count: int


def hold_rows(study: Study) -> tuple[HoldRow, ...]:
    """Return a row for each kind, size and device, by device as power comes to it.

    What no booster feeds, and wires behind a shorted one, have nothing to stand: the
    former are left out, the latter have no short.
    """
    groups: defaultdict[tuple[Kind, str, PartId], list[Conductor]] = defaultdict(list)
    for own in conductors(study):
        groups[own.kind, own.size, own.by.part].append(own)
    number = {part: i for i, part in enumerate(study.layout.parts)}

    def turn(row: HoldRow) -> tuple[tuple[int, ...], int, float]:
        chain = reversed(study.feeds.chain(row.worst.by.part))
        return (
            tuple(number[p] for p in chain),
            KINDS.index(row.worst.kind),
            row.worst.amps_a,
        )

    rows = [HoldRow(_weakest(own), _count(own)) for own in groups.values()]
    return tuple(sorted(rows, key=turn))


def told_rows(rows: tuple[HoldRow, ...]) -> tuple[tuple[HoldRow, int], ...]:
    """Return what fails, the worst first, then what holds, one row a kind and size.

    With each row comes behind how many more devices the same holds.
    """
    bad = sorted((r for r in rows if r.worst.verdict != "holds"), key=_by_share)
    good: defaultdict[tuple[Kind, str], list[HoldRow]] = defaultdict(list)
    for row in rows:
        if row.worst.verdict == "holds":
            good[row.worst.kind, row.worst.size].append(row)
    held = [(min(own, key=_by_share), len(own) - 1) for own in good.values()]
    held.sort(key=lambda pair: KINDS.index(pair[0].worst.kind))
    return (*((row, 0) for row in bad), *held)


def _by_share(row: HoldRow) -> float:
    return -row.worst.share


def _weakest(own: list[Conductor]) -> Conductor:
    """Return what stands least; of these what lets most flow, then most in a short."""
    return max(
        own,
        key=lambda c: (
            -c.amps_a,
            c.together_a,
            -1.0 if c.short_a is None else c.short_a,
        ),
    )


def _count(own: list[Conductor]) -> int:
    """Return how many there are; rails by tracks, joints by their two sides."""
    if own[0].kind == "rail":
        return len({conductor.part for conductor in own})
    return len({(conductor.part, conductor.place) for conductor in own})


def conductor_name(layout: Layout, own: Conductor) -> str:
    """Return which one it is: a part's id, or "at" a place on a track."""
    return own.part if own.place is None else f"at {place_name(layout, own.place)}"


def verdict_words(own: Conductor, *, in_full: bool = False) -> str:
    """Return the verdict on a conductor with its figures; "▲" leads what fails.

    `in_full` says how the I²·t come about, where no table beside it does.
    """
    trip, stands = show_amps(own.lets_a), show_amps(own.amps_a)
    if own.lets_a > own.by.trip_a:
        trip += " together"
    if own.verdict == "overheats":
        return f"▲ overheats in a short: {_short_sum(own, '>', in_full=in_full)}"
    if own.verdict == "gets hot" and own.ohm:
        heat, most = own.by.trip_a**2 * own.ohm, show_watts(MOST_CONTACT_W)
        sum_ = f"({trip})² × {show_ohms(own.ohm)} = {show_watts(heat)}"
        return f"▲ gets hot: {sum_} > {most}"
    if own.verdict != "holds":
        return f"▲ {own.verdict}: {trip} > {stands} for good"
    if own.by.holds:
        rest = f"{own.by.part} lets no more through"
    elif own.short_a is None:
        rest = "no figure for a short while its booster is shorted"
    elif own.passed is None:
        short = show_amps(own.short_a)
        rest = f"▲ a short of {short} does not trip {own.by.part}"
    else:
        rest = _short_sum(own, "≤", in_full=in_full)
    return f"holds: {trip} ≤ {stands}; {rest}"


def _short_sum(own: Conductor, sign: str, *, in_full: bool) -> str:
    passed, bears = show_let_through(own.passed or 0.0), show_let_through(own.squared)
    if not in_full:
        return f"{passed} {sign} {bears}"
    amps, seconds = show_amps(own.short_a or 0.0), show_seconds(own.by.trip_s)
    copper = f"({K_PVC:.0f} × {own.copper_mm2:.3g} mm²)² = " if own.copper_mm2 else ""
    return f"({amps})² × {seconds} = {passed} {sign} {copper}{bears}"
