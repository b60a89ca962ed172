"""Thistlewick Junction wired in the other ways that its scenario weighs.

* Upper deck: one bus along its 20 m, with a tenth more wire than track, so 22 m, from
  its west end or from its middle; one block of detection, no train standing anywhere,
  3 A tried at every place.
* Helix: fed at its foot and top alone, or at each turn too; 1.8 A tried.
* Engines: all nine with sound at 0.6 A; six of them on the upper deck.
"""

from collections.abc import Iterator
from typing import Any

import msgspec

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Bus,
    Drop,
    Load,
    OnRun,
    Part,
    Point,
    Settings,
    ToBus,
    ToPort,
)
from tests.samples.thistlewick import (
    HELIX,
    PIECE_M,
    TURNS,
    UPPER,
    UPPER_MM,
    thistlewick,
)

DECK_M = UPPER_MM / 1000.0
DECK_HOLES_M = tuple(
    (PIECE_M * k + min(PIECE_M * (k + 1), DECK_M)) / 2.0 for k in range(22)
)
"""A drop in the middle of each of the deck's 22 pieces. [m]"""

HELIX_M = run_path(HELIX).length_m
TURN_HOLES_M = tuple(HELIX_M * k / TURNS for k in range(1, TURNS))
"""One drop a turn, those at foot and top left out. [m]"""

LEAD_M = 0.3
"""Lead of every drop here. [m]"""


def upper_deck(wire: str, *, centre: bool, drop_v: float = 0.0) -> Iterator[Part]:
    """Yield the layout with one bus of 22 m along the upper deck.

    Parameters
    ----------
    wire : str
        Wire of that bus.
    centre : bool
        Fed in its middle, as two legs; else at the deck's start.
    drop_v : float
        What the detector before it takes. [V]
    """
    middle = DECK_M / 2.0 if centre else 0.0
    buses = [_along(5, middle, DECK_M, wire)]
    if centre:
        buses.append(_along(6, middle, 0.0, wire))
    gone = {"B5", "B6", "TS5", "OD2", "G3"}
    for part in thistlewick():
        if isinstance(part, Settings):
            yield msgspec.structs.replace(part, test_train_a=3.0)
        elif part.id == "OD1":
            yield msgspec.structs.replace(part, drop_v=drop_v)
        elif not (part.id in gone or isinstance(part, Load) or _is_drop_on(part, "R3")):
            yield part
    yield from buses
    for number, hole in enumerate(DECK_HOLES_M, start=101):
        bus = buses[1] if hole < middle else buses[0]
        yield _drop(number, "R3", hole, bus, abs(hole - middle))


def helix(wire: str, holes_m: tuple[float, ...] = ()) -> Iterator[Part]:
    """Yield the layout with the helix fed at foot and top, and at `holes_m`. [m]"""
    parts = list(thistlewick())
    (old,) = (p for p in parts if isinstance(p, Bus) and p.id == "B4")
    bus = msgspec.structs.replace(old, wire=wire)
    for part in parts:
        if isinstance(part, Settings):
            yield msgspec.structs.replace(part, test_train_a=1.8)
        elif not (
            part.id == bus.id or isinstance(part, Load) or _is_drop_on(part, "R2")
        ):
            yield part
    yield bus
    for number, hole in enumerate((0.0, *holes_m, HELIX_M), start=101):
        yield _drop(number, "R2", hole, bus, bus_path(bus).length_m)


def all_sound() -> Iterator[Part]:
    """Yield the layout with nine engines of 0.6 A."""
    for part in thistlewick():
        loud: dict[str, Any] = {"amps_a": 0.6} if isinstance(part, Load) else {}
        yield msgspec.structs.replace(part, **loud)


def six_above() -> Iterator[Part]:
    """Yield the layout with three more of the engines on the upper deck."""
    for part in thistlewick():
        if isinstance(part, Load) and part.id in ("L4", "L5", "L6"):
            place = OnRun(run=UPPER.id, position_m=part.on.position_m - 5.0)
            yield msgspec.structs.replace(part, on=place)
        else:
            yield part


def _is_drop_on(part: Part, run: str) -> bool:
    return isinstance(part, Drop) and part.on.run == run


def _along(number: int, start_m: float, end_m: float, wire: str) -> Bus:
    """Return a bus under the upper deck, from one place of it to another."""
    low, high = sorted((start_m, end_m))
    line = [
        Point(x_mm=round(float(x), 1), y_mm=round(float(y), 1))
        for x, y in run_path(UPPER).line(low, high, step_mm=50.0)
    ]
    return Bus(
        id=PartId(f"B{number}"),
        points=tuple(line if start_m <= end_m else line[::-1]),
        wire=wire,
        slack=0.1,
        start=ToPort(part=PartId("OD1")),
    )


def _drop(number: int, run: str, hole_m: float, bus: Bus, tap_m: float) -> Drop:
    at = min(tap_m, bus_path(bus).length_m)
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(run), position_m=hole_m),
        to=ToBus(part=bus.id, position_m=at),
        lead_m=LEAD_M,
        contact="tap",
    )
