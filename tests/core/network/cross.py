"""Two tracks drawn across each other, with what feeds them."""

from math import cos, radians, sin
from typing import Literal

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Crossing,
    Drop,
    OnRun,
    Part,
    Settings,
    Side,
    Straight,
    ToPort,
    TrackRun,
)

Frogs = Literal["insulated", "switched", "uncut"]
Shapes = Literal["diamond", "single slip", "double slip"]

HALF_M = 1.0
"""Both tracks go this far beyond their crossing. [m]"""


def across(number: int, heading_deg: float, *, level_mm: float = 0.0) -> TrackRun:
    """Return a straight of 2 m whose middle lies at x = y = 0."""
    way = radians(heading_deg)
    return TrackRun(
        id=PartId(f"R{number}"),
        name=("", "Main", "Siding")[number] if number < 3 else "",
        x_mm=-1000.0 * HALF_M * cos(way),
        y_mm=-1000.0 * HALF_M * sin(way),
        heading_deg=heading_deg,
        pieces=(Straight(length_mm=2000.0 * HALF_M),),
        level_mm=level_mm,
        piece_length_m=50.0,
    )


def drop(number: int, run: int, position_m: float, a_rail: Side = "left") -> Drop:
    """Return a drop from a run straight to the booster."""
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(f"R{run}"), position_m=position_m),
        to=ToPort(part=PartId("PB1")),
        a_rail=a_rail,
    )


def crossing(
    frog: Frogs = "insulated",
    shape: Shapes = "diamond",
    *,
    side: Side = "left",
    obtuse: Literal["joined", "dead"] = "joined",
) -> Crossing:
    """Return the crossing of R1 and R2 in the middle of both."""
    return Crossing(
        id=PartId("X1"),
        a=OnRun(run=PartId("R1"), position_m=HALF_M),
        b=OnRun(run=PartId("R2"), position_m=HALF_M),
        shape=shape,
        side=side,
        frog=frog,
        obtuse=obtuse,
    )


def fed_across(
    made: Crossing | None, *more: Part, angle_deg: float = 15.0, b_rail: Side = "left"
) -> Layout:
    """Return two tracks at an angle, each fed on both sides of where they cross.

    R1 lies along x; R2 is turned left by the angle. A is the left rail of R1, and
    the rail that is named of R2.
    """
    parts: list[Part] = [
        Settings(scale="HO"),
        across(1, 0.0),
        across(2, angle_deg),
        Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-300.0),
        drop(1, 1, 0.2),
        drop(2, 1, 1.8),
        drop(3, 2, 0.2, b_rail),
        drop(4, 2, 1.8, b_rail),
        *([made] if made is not None else []),
        *more,
    ]
    return Layout({part.id: part for part in parts})
