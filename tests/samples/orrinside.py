"""Orrinside Quay: an N shelf of 0.45 × 4.8 m, repaired, as found, and with faults.

Where the scenario's figures and geometry disagree, or leave something open:

* It counts the main line alone. Its loop, joined at both turnouts, lies parallel
  to 2.4 m of main and halves their resistance: the far end then has 9.3 V, not
  8.4 V. As the builder wired it, insulated joiners at T2 keep the loop's far end
  apart (a habit of block control), and its 8.4 V hold; `loop_joined` shows the
  other way.
* Its joints lie 0.76 m apart, which leaves a seventh piece of 40 mm; here they lie
  0.767 m apart, and the 4.6 m of main are six pieces.
* Six drops 0.8 m apart are its repair, and its fault 1: by its own rule 0.67 m is
  the most, and a quarter of it, 0.17 m, to a dead end. The sound layout has eight,
  0.64 m apart at most; the six are in the faulty one.
* It names five turnouts' tracks and counts six turnouts: the sixth leads to a short
  quay track at the left.
* Siding 2 leaves the main on the far side, siding 3 the loop; else three of them do
  not fit beside the front edge.
* Its inner resistance is not given: 0.15 Ω, as that of Dapplecombe's unit.
* It has a diamond in fault 3 and does not say of what: a stub of wharf line crosses
  siding 3. Both have a drop on each side of it, as rails cut out at its acute
  crossings need.
"""

from collections.abc import Iterator
from math import cos, radians, sin
from typing import Any

import msgspec

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Board,
    Booster,
    Bus,
    Crossing,
    Drop,
    Gap,
    Joist,
    Load,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Side,
    Straight,
    ToBus,
    ToPort,
    TrackRun,
    Turnout,
)
from tests.samples.curves import beside, leg_from, swing
from tests.samples.hang import hang

LEFT_MM = 100.0
"""Where the main begins. [mm]"""

BESIDE_MM = 60.0
"""From one track to the next. [mm]"""

LEG_MM = 400.0
"""Radius of the curves of a turnout's leg. [mm]"""

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=LEFT_MM,
    y_mm=200.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=4600.0),),
    rail="code55-ns",
    piece_length_m=0.767,
)

JOISTS_MM = (22.0, *(150.0 + 600.0 * i for i in range(8)), 4778.0)

EIGHT_HOLES_M = (0.16, 0.80, 1.38, 1.99, 2.60, 3.20, 3.80, 4.44)
"""Drops on the main of the sound layout, as the spacing rule has them. [m]"""

SIX_HOLES_M = (0.32, 1.12, 1.92, 2.72, 3.52, 4.32)
"""Drops on the main as the scenario plans them, 0.8 m apart. [m]"""

BEYOND_M = 0.70
"""A third drop on siding 3, right beyond the diamond. [m]"""

WHARF_HOLES_M = (0.03, 0.38)
"""Drops on the wharf line, one on each side of the diamond. [m]"""

BRANCH_HOLES_M = (
    (0.40, 0.95, 1.50, 2.05),
    (0.30, 0.85),
    (0.20, 0.75),
    (0.45, 1.05),
    (0.40,),
)
"""Drops on loop, sidings 1 to 3 and quay track. [m]"""

LOOP_ID, SIDING_3_ID = PartId("R2"), PartId("R5")

SIDING_3_M = 2.0
"""Where siding 3 leaves the loop's straight. [m]"""

TRAIN_M = 4.5
"""Where the railcar set stands on the main, at x = 4.6. [m]"""

CROSSED_X_MM, CROSSED_Y_MM = 3790.0, 320.0
"""Where the wharf line crosses siding 3, whose straight lies along this y. [mm]"""

WHARF_DEG, WHARF_BEFORE_M, WHARF_M = 18.0, 0.12, 0.45
"""The wharf line: its angle, how far it lies before siding 3, its length. [°, m]"""

FAULTS = """What is wrong here:
1. The drops on the main are 0.8 m apart; 0.2 V at 2 A asks for 0.67 m.
2. All drops hang on the bus by tap connectors for 0.8 to 2 mm² and 0.5 to 1 mm²: \
0.35 mm² is too thin for them.
3. Siding 3 was cut off at T5 and fed by itself, the other way round: at the diamond \
X1, laid by hand, it meets the wharf line with unlike rails, A meets B.
4. The frog gap of turnout T3 was filled with metal."""


def orrinside(
    *, holes_m: tuple[float, ...] = EIGHT_HOLES_M, unit_a: float = 2.0
) -> Iterator[Part]:
    """Yield the parts of the shelf as repaired: a bus fed in its middle.

    Parameters
    ----------
    holes_m : tuple of float
        Where the main's drops are. [m]
    unit_a : float
        What the unit gives, and trips at. [A]
    """
    yield from _bench("Orrinside Quay")
    sidings = _sidings(joint="soldered")
    yield from (MAIN, *sidings)
    yield from _turnouts()
    yield _unit(unit_a)
    buses = _buses()
    yield from buses
    holes = [(MAIN, position) for position in holes_m]
    holes += [
        (run, p)
        for run, places in zip(sidings, BRANCH_HOLES_M, strict=True)
        for p in places
    ]
    wharf = _wharf()
    yield wharf
    yield _diamond(sidings[3], wharf)
    holes += [(sidings[3], BEYOND_M), *((wharf, p) for p in WHARF_HOLES_M)]
    for number, (run, position) in enumerate(holes, start=1):
        yield _solder(hang(number, run, position, buses, "right"))
    yield _train()


def orrinside_one_feed(
    *, loop_joined: bool = False, unit_a: float = 2.0
) -> Iterator[Part]:
    """Yield the shelf as its builder wired it: one thin feed at x = 0.2."""
    yield from _bench("Orrinside Quay, one feed")
    yield from (MAIN, *_sidings(joint="joiner-new"))
    for turnout in _turnouts():
        apart = turnout.id == "T2" and not loop_joined
        yield msgspec.structs.replace(
            turnout, leg_insulated="both" if apart else "none"
        )
    yield _unit(unit_a)
    yield Drop(
        id=PartId("D1"),
        on=OnRun(run=MAIN.id, position_m=0.1),
        to=ToPort(part=PartId("PB1")),
        wire="0.14mm2-hookup",
        a_rail="right",
        lead_m=0.4,
    )
    yield _train()


def orrinside_faulty() -> Iterator[Part]:
    """Yield the repaired shelf with four faults, as `FAULTS` lists them."""
    for part in orrinside(holes_m=SIX_HOLES_M):
        spoil: dict[str, Any] = {}
        if isinstance(part, Settings):
            spoil = {"title": "Orrinside Quay, with faults", "notes": FAULTS}
        elif isinstance(part, Drop):
            spoil = {"contact": "tap-light"}
            if part.on.run == SIDING_3_ID:
                spoil["a_rail"] = "left"
        elif isinstance(part, Turnout) and part.leg.run == SIDING_3_ID:
            spoil = {"leg_insulated": "both"}
        yield msgspec.structs.replace(part, **spoil)
    yield Gap(
        id=PartId("G1"),
        on=OnRun(run=PartId("R3"), position_m=0.1),
        rails="left",
        bridged=True,
        note="Frog gap of T3, filled with solder.",
    )


def _bench(title: str) -> Iterator[Part]:
    yield Settings(
        title=title,
        scale="N",
        test_train_a=1.2,
        notes="Rail A is the one nearer the front. The set with sound and lit coaches "
        "is put at 1.2 A, more than it should ever draw.",
    )
    yield Board(
        id=PartId("BD1"),
        name="Quay",
        x_mm=0.0,
        y_mm=0.0,
        width_mm=4800.0,
        depth_mm=450.0,
    )
    for i, x in enumerate(JOISTS_MM, start=1):
        yield Joist(id=PartId(f"JS{i}"), x1_mm=x, y1_mm=0.0, x2_mm=x, y2_mm=450.0)


def _sidings(joint: str) -> tuple[TrackRun, ...]:
    """Return loop, sidings 1 to 3 and the quay track."""
    out, back = swing(BESIDE_MM, LEG_MM, "left")
    # Each pair of curves takes 2·400·sin(22.33°) = 304 mm of the 2400 mm.
    across = 2.0 * LEG_MM * sin(radians(out.sweep_deg))
    along = Straight(length_mm=2400.0 - 2.0 * across)
    loop = leg_from(
        MAIN,
        _along(1200.0),
        "R2",
        (out, back, along, back, out),
        name="Loop",
        piece_length_m=0.81,
    )

    def siding(
        number: int, name: str, toe: tuple[TrackRun, float], side: Side, length: float
    ) -> TrackRun:
        return leg_from(
            *toe,
            f"R{number}",
            beside(BESIDE_MM, LEG_MM, side, length_mm=length),
            name=name,
            piece_length_m=MAIN.piece_length_m,
            joint=joint,
        )

    return (
        loop,
        siding(3, "Siding 1", (MAIN, _along(3650.0)), "right", 1000.0),
        siding(4, "Siding 2", (MAIN, _along(3750.0)), "left", 900.0),
        siding(5, "Siding 3", (loop, SIDING_3_M), "left", 1200.0),
        siding(6, "Quay track", (MAIN, _along(450.0)), "right", 550.0),
    )


def _wharf() -> TrackRun:
    """Return the wharf line, a stub of track that only the diamond ties to others."""
    way = radians(WHARF_DEG)
    return TrackRun(
        id=PartId("R7"),
        name="Wharf line",
        x_mm=CROSSED_X_MM - 1000.0 * WHARF_BEFORE_M * cos(way),
        y_mm=CROSSED_Y_MM - 1000.0 * WHARF_BEFORE_M * sin(way),
        heading_deg=WHARF_DEG,
        pieces=(Straight(length_mm=1000.0 * WHARF_M),),
        rail=MAIN.rail,
        piece_length_m=MAIN.piece_length_m,
        joint="soldered",
    )


def _diamond(siding: TrackRun, wharf: TrackRun) -> Crossing:
    """Return the diamond, laid by hand: acute crossings switched, obtuse ones joined."""
    at = run_path(siding).nearest(CROSSED_X_MM, CROSSED_Y_MM)
    return Crossing(
        id=PartId("X1"),
        name="Wharf",
        a=OnRun(run=siding.id, position_m=at.position_m),
        b=OnRun(run=wharf.id, position_m=WHARF_BEFORE_M),
        frog="switched",
    )


def _turnouts() -> Iterator[Turnout]:
    """Yield T1 and T2 of the loop, T3 to T5 of the sidings, T6 of the quay track."""
    for number, run, place, hand in (
        (1, MAIN.id, _along(1200.0), "left"),
        (3, MAIN.id, _along(3650.0), "right"),
        (4, MAIN.id, _along(3750.0), "left"),
        (5, LOOP_ID, SIDING_3_M, "left"),
        (6, MAIN.id, _along(450.0), "right"),
    ):
        yield Turnout(
            id=PartId(f"T{number}"),
            on=OnRun(run=run, position_m=place),
            hand="left" if hand == "left" else "right",
            leg=RunEnd(
                run=LOOP_ID if number == 1 else PartId(f"R{number}"), end="start"
            ),
            lead_m=0.1,
        )
    yield Turnout(
        id=PartId("T2"),
        on=OnRun(run=MAIN.id, position_m=_along(3600.0)),
        opens="backward",
        hand="right",
        leg=RunEnd(run=LOOP_ID, end="end"),
        lead_m=0.1,
    )


def _along(x_mm: float) -> float:
    """Return where along the main x is passed. [m]"""
    return (x_mm - LEFT_MM) / 1000.0


def _unit(amps: float) -> Booster:
    return Booster(
        id=PartId("PB1"),
        name="Handheld unit",
        x_mm=100.0,
        y_mm=200.0,
        volts_v=12.0,
        rated_a=amps,
        trip_a=amps,
        inner_ohm=0.15,
    )


def _buses() -> tuple[Bus, Bus, Bus]:
    """Return the stem to the middle of the shelf and a leg each way."""
    corners = ((100.0, 200.0), (100.0, 100.0), (2400.0, 100.0), (2400.0, 230.0))
    stem = Bus(
        id=PartId("B1"),
        name="Stem",
        points=tuple(Point(x_mm=x, y_mm=y) for x, y in corners),
        wire="1.5mm2-c5",
        start=ToPort(part=PartId("PB1")),
    )
    west, east = (
        Bus(
            id=PartId(f"B{number}"),
            name=name,
            points=(Point(x_mm=2400.0, y_mm=230.0), Point(x_mm=to_x, y_mm=230.0)),
            wire="1.5mm2-c5",
            start=ToBus(part=stem.id, position_m=2.53),
        )
        for number, name, to_x in ((2, "West leg", 240.0), (3, "East leg", 4560.0))
    )
    return stem, west, east


def _solder(drop: Drop) -> Drop:
    return msgspec.structs.replace(drop, wire="0.35mm2-hookup", contact="solder-joint")


def _train() -> Load:
    return Load(
        id=PartId("L1"),
        name="Railcar set with sound and lit coaches",
        on=OnRun(run=MAIN.id, position_m=TRAIN_M),
        amps_a=1.2,
        length_m=0.6,
        active=False,
    )
