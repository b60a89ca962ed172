"""The track of Wulfenmoor Regional: main, yard and museum siding."""

from collections.abc import Iterator
from math import cos, radians, sin
from typing import Literal

from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    OnRun,
    RunEnd,
    Straight,
    TrackRun,
    Turnout,
)
from tests.samples.curves import beside, leg_from

Lay = Literal["twisted", "side by side", "apart"]
Trains = Literal["session", "spread", "bunched"]

PIECE_M = 0.914
PIECES = 44

CORNER = Arc(radius_mm=750.0, sweep_deg=90.0)
BACK = Arc(radius_mm=750.0, sweep_deg=-90.0)

TURNED_MM = 4 * 750.0 * 1.5707963267948966
"""All four corners. [mm]"""

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(
        Straight(length_mm=13250.0),
        CORNER,
        Straight(length_mm=1500.0),
        CORNER,
        Straight(length_mm=11500.0),
        BACK,
        Straight(length_mm=1500.0),
        BACK,
        Straight(length_mm=PIECES * PIECE_M * 1000.0 - 27750.0 - TURNED_MM),
    ),
    rail="code83-ns",
    piece_length_m=PIECE_M,
)

YARD_M = 5.45
"""Where the yard's ladder leaves the main. [m]"""

YARD_MM = 3200.0
"""Length of each yard track, from its points. [mm]"""

YARD_HOLE_M = 2.4
"""Where the one drop of a yard track is, from its points: nearer its end. [m]"""

TURN_MM = 700.0 * radians(15.0)
"""Length of a curve of the yard's ladder. [mm]"""

MUSEUM_M = 14.50
"""Where the museum siding leaves the main. [m]"""


def tracks() -> tuple[TrackRun, ...]:
    """Return yard 7 with the ladder, yards 1 to 6, and the museum siding."""
    # The ladder heads 15° off the main after a curve that takes 23.85 mm of the
    # 60 mm to yard 1; yards lie 52 mm apart, so their points 200.9 mm.
    out = Arc(radius_mm=700.0, sweep_deg=15.0)
    back = Arc(radius_mm=700.0, sweep_deg=-15.0)
    ladder = leg_from(
        MAIN,
        YARD_M,
        "R2",
        (
            out,
            Straight(length_mm=1000.0 * toe_m(7) - TURN_MM),
            back,
            Straight(length_mm=YARD_MM - TURN_MM),
        ),
        name="Yard 7",
        joint="soldered",
    )
    yards = [
        leg_from(
            ladder,
            toe_m(number),
            f"R{number + 2}",
            (back, Straight(length_mm=YARD_MM - TURN_MM)),
            name=f"Yard {number}",
            joint="soldered",
        )
        for number in range(1, 7)
    ]
    museum = leg_from(
        MAIN,
        MUSEUM_M,
        "R9",
        beside(120.0, 600.0, "right", length_mm=1800.0),
        name="Museum siding",
        joint="soldered",
    )
    return ladder, *yards, museum


def toe_m(yard: int) -> float:
    """Return where along the ladder a yard's points are. [m]"""
    rise_mm = 60.0 - 2.0 * 700.0 * (1.0 - cos(radians(15.0))) + 52.0 * (yard - 1)
    return (TURN_MM + rise_mm / sin(radians(15.0))) / 1000.0


def turnouts() -> Iterator[Turnout]:
    """Yield T1 to the ladder, T2 to T7 to yards 1 to 6, T8 to the museum."""
    legs = [(MAIN.id, YARD_M, "left", "R2")]
    legs += [(PartId("R2"), toe_m(n), "right", f"R{n + 2}") for n in range(1, 7)]
    legs += [(MAIN.id, MUSEUM_M, "right", "R9")]
    for number, (run, place, hand, leg) in enumerate(legs, start=1):
        yield Turnout(
            id=PartId(f"T{number}"),
            on=OnRun(run=run, position_m=place),
            hand="left" if hand == "left" else "right",
            leg=RunEnd(run=PartId(leg), end="start"),
        )
