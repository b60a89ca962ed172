"""Thistlewick Junction: two decks and a helix in a garage, sound and with its faults.

Where the scenario's figures and geometry disagree, or leave something open:

* 22 m of lower deck do not fit along the walls of 5.5 m: it begins on a peninsula.
  So does the last stretch of the 20 m upper deck end on one.
* Six turns of 0.46 m radius are 17.3 m. The helix is one run of one arc; it climbs
  from deck to deck, 400 mm, 2.3 %.
* (4.6, 3.9) lies 0.5 m beside the track: the gap stands at the nearest end of a rail
  piece, (5.16, 3.72).
* The booster at (0.3, 0.3) stands at the very middle of the upper deck: its bus is
  fed there. TS5 is at the north end of it.
* Detectors here sense by a coil; the faulty layout has the scenario's diodes.
* Nine sound engines are three loads in each of CB1, CB2 and CB4, 3.0 A together.
* The garage's door is in the east wall: there the lower deck runs over a gate of
  one piece of rail, 0.914 m, with a piece before each edge dead while it is open. One stoops under the upper
  deck; the buses go round the doorway under its sill.
* The programming siding hangs on a change-over switch of four poles, with an
  isolation piece of 0.55 m at its turnout.
"""

from collections.abc import Iterator
from math import pi, radians, sin
from typing import Any

import msgspec

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Board,
    Booster,
    Bus,
    Carried,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Opening,
    Part,
    Piece,
    Point,
    RunEnd,
    Settings,
    Straight,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
)
from tests.samples.curves import beside, leg_from, swing, swing_deg
from tests.samples.hang import hang
from tests.samples.holes import clear_place

PIECE_M = 0.914
TURNS = 6
HELIX_MM = 460.0
BESIDE_MM = 55.0
LEG_MM = 600.0

CORNER = Arc(radius_mm=600.0, sweep_deg=90.0)
CORNER_MM = 600.0 * pi / 2.0

UPPER_MM = 20_000.0
"""Length of the upper deck. [mm]"""

LOWER_CUTS = (12, 23)
"""After so many pieces of the lower deck CB1 ends, and CB2."""

UPPER_CUT = 11
"""After so many pieces of the upper deck its first detection block ends."""

LOOP_M = (14.2, 16.6)
"""Both toes of the passing track along the lower deck. [m]"""

SIDING_M = 11.5
"""Toe of the programming siding along the lower deck. [m]"""

GATE_M = (20 * PIECE_M, 21 * PIECE_M)
"""The gate's edges along the lower deck: it is one piece of rail. [m]"""

DEAD_M = PIECE_M
"""Track before each of its edges that is dead while it is open: a piece more. [m]"""

ISOLATION_M = 0.55
"""Length of the isolation piece of the programming siding. [m]"""

TS5_DROPS = 4
"""Drops of the upper deck that hang on TS5, from its start."""

FAULTS = """What is wrong here:
1. G2, between CB2 and CB3, parts the left rail only.
2. The booster trips in 10 ms, before any breaker.
3. A filter, L10, hangs on the rails of the upper deck, behind OD2.
4. Strip TS5 hangs its drops the wrong way round as a block.
5. The whole programming siding hangs on a switch of two poles.
6. The upper deck's east bus goes 30 m, twisted, after its detector.
7. D22, beyond the gate, hangs on B2 and not on the gate's own switch, SW2.
8. B2 and B6 run along the gate in one piece, and not under the doorway's floor.
Both detectors are pairs of diodes, which take 1.4 V."""


def thistlewick() -> Iterator[Part]:
    """Yield the sound layout."""
    yield Settings(
        title="Thistlewick Junction",
        scale="HO",
        test_train_a=0.6,
        notes="Rail A is the left one walking up from the peninsula.",
    )
    yield from _bench()
    yield from _tracks()
    yield from _links()
    yield from _supply()
    yield from _buses()
    yield Strip(id=PartId("TS5"), x_mm=4700.0, y_mm=5040.0, ways=6)
    yield from _drops()
    yield from _engines()
    yield Opening(
        id=PartId("LO1"),
        name="Doorway",
        use="gate",
        carries=(_gate(),),
        hinge="front",
        contact=PartId("SW2"),
        buses="clear",
    )


def _gate() -> Carried:
    low, high = (round(place, 3) for place in GATE_M)
    return Carried(run=LOWER.id, from_m=low, to_m=high)


def thistlewick_faulty() -> Iterator[Part]:
    """Yield the same layout with the faults in `FAULTS`."""
    east = next(bus for bus in _buses() if bus.id == "B6")
    spoil: dict[str, dict[str, Any]] = {
        "settings": {"title": "Thistlewick Junction, with faults", "notes": FAULTS},
        "G2": {"rails": "left"},
        "PB1": {"trip_s": 0.010},
        "TS5": {"flipped": True},
        "B6": {"extra_m": round(30.0 - bus_path(east).length_m, 3)},
        "OD1": {"drop_v": 1.4},
        "OD2": {"drop_v": 1.4},
        "SW1": {"poles": 2},
        "B8": {"start": ToPort(part=PartId("SW1"))},
        "LO1": {"buses": "whole"},
        "D22": {"to": ToBus(part=PartId("B2"), position_m=6.4)},
    }
    for part in thistlewick():
        yield msgspec.structs.replace(part, **spoil.get(part.id, {}))
    yield Load(
        id=PartId("L10"),
        name="Filter",
        on=OnRun(run=PartId("R3"), position_m=19.5),
        use="standing",
        amps_a=0.052,
    )


# Bench and track ------------------------------------------------------------


def _bench() -> Iterator[Part]:
    for i, (name, x, y, width, depth) in enumerate(
        (
            ("South", 0.0, 0.0, 5500.0, 640.0),
            ("West", 0.0, 640.0, 640.0, 4860.0),
            ("North", 640.0, 4800.0, 4860.0, 700.0),
            ("East", 4800.0, 640.0, 700.0, 4160.0),
            ("Helix", 4100.0, 4100.0, 1400.0, 1400.0),
            ("South-west corner", 0.0, 0.0, 1200.0, 1200.0),
            ("South-east corner", 4300.0, 0.0, 1200.0, 1200.0),
            ("North-west corner", 0.0, 4200.0, 1200.0, 1300.0),
            ("Peninsula", 640.0, 2200.0, 3360.0, 500.0),
            ("Neck", 3000.0, 2200.0, 1000.0, 3300.0),
            ("Upper peninsula", 1900.0, 3150.0, 3300.0, 500.0),
            ("Upper bend", 4300.0, 2700.0, 900.0, 950.0),
        ),
        start=1,
    ):
        yield Board(
            id=PartId(f"BD{i}"),
            name=name,
            x_mm=x,
            y_mm=y,
            width_mm=width,
            depth_mm=depth,
        )
    yield from _joists()


def _joists() -> tuple[Joist, ...]:
    """Return the joists, across the walls' boards. [mm]"""
    lines = [(x, 0.0, x, 640.0) for x in (1300.0, 2500.0, 3700.0)]
    lines += [(0.0, y, 640.0, y) for y in (1500.0, 2700.0, 3900.0)]
    lines += [(x, 4800.0, x, 5500.0) for x in (1500.0, 2700.0)]
    lines += [(4800.0, y, 5500.0, y) for y in (1500.0, 2700.0, 3900.0)]
    return tuple(
        Joist(id=PartId(f"JS{i}"), x1_mm=a, y1_mm=b, x2_mm=c, y2_mm=d)
        for i, (a, b, c, d) in enumerate(lines, start=1)
    )


def _run(
    number: int,
    name: str,
    place: tuple[float, float, float],
    *pieces: Piece,
    level: float,
) -> TrackRun:
    x, y, heading = place
    return TrackRun(
        id=PartId(f"R{number}"),
        name=name,
        x_mm=x,
        y_mm=y,
        heading_deg=heading,
        pieces=pieces,
        rail="code83-ns",
        piece_length_m=PIECE_M,
        level_mm=level,
    )


def _straight(mm: float) -> Straight:
    return Straight(length_mm=mm)


LOWER = _run(
    1,
    "Lower deck",
    (770.0, 2400.0, 0.0),
    _straight(2330.0),
    CORNER,
    _straight(1600.0),
    CORNER,
    _straight(2200.0),
    CORNER,
    _straight(3700.0),
    CORNER,
    _straight(3660.0),
    CORNER,
    _straight(3800.0),
    level=1050.0,
)

HELIX = msgspec.structs.replace(
    _run(
        2,
        "Helix",
        (5160.0, 4700.0, 90.0),
        Arc(radius_mm=HELIX_MM, sweep_deg=360.0 * TURNS),
        level=1050.0,
    ),
    level_end_mm=1450.0,
)

_UPPER: tuple[Piece, ...] = (
    Arc(radius_mm=HELIX_MM, sweep_deg=90.0),
    _straight(3800.0),
    CORNER,
    _straight(3660.0),
    CORNER,
    _straight(3660.0),
    CORNER,
    _straight(2000.0),
    Arc(radius_mm=500.0, sweep_deg=90.0),
)

UPPER = _run(
    3,
    "Upper deck",
    (5160.0, 4700.0, 90.0),
    *_UPPER,
    _straight(UPPER_MM - 13120.0 - 3.0 * CORNER_MM - (HELIX_MM + 500.0) * pi / 2.0),
    level=1450.0,
)


def _tracks() -> tuple[TrackRun, ...]:
    """Return lower deck, helix, upper deck, passing track, programming siding."""
    out, back = swing(BESIDE_MM, LEG_MM, "left"), swing(BESIDE_MM, LEG_MM, "right")
    curved = 4.0 * LEG_MM * sin(radians(swing_deg(BESIDE_MM, LEG_MM)))
    between = _straight(1000.0 * (LOOP_M[1] - LOOP_M[0]) - curved)
    common: dict[str, Any] = {"joint": "soldered", "level_mm": LOWER.level_mm}
    passing = leg_from(
        LOWER, LOOP_M[0], "R4", (*out, between, *back), name="Passing track", **common
    )
    siding = leg_from(
        LOWER,
        SIDING_M,
        "R5",
        beside(BESIDE_MM, LEG_MM, "left", length_mm=1000.0),
        name="Programming siding",
        **common,
    )
    return LOWER, HELIX, UPPER, passing, siding


def _links() -> Iterator[Part]:
    """Yield joints, turnouts and gaps."""
    for number, a, b, insulated in ((1, "R1", "R2", False), (2, "R2", "R3", True)):
        yield TrackJoint(
            id=PartId(f"J{number}"),
            a=RunEnd(run=PartId(a), end="end"),
            b=RunEnd(run=PartId(b), end="start"),
            insulated="both" if insulated else "none",
        )
    yield _turnout(1, LOOP_M[0], "R4")
    yield msgspec.structs.replace(
        _turnout(2, LOOP_M[1], "R4"),
        opens="backward",
        hand="right",
        leg=RunEnd(run=PartId("R4"), end="end"),
    )
    yield msgspec.structs.replace(_turnout(3, SIDING_M, "R5"), leg_insulated="both")
    for number, pieces in enumerate(LOWER_CUTS, start=1):
        yield _cut(number, "R1", pieces)
    # The upper deck's blocks are parted in their A rail alone.
    yield msgspec.structs.replace(_cut(3, "R3", UPPER_CUT), rails="left")
    siding = OnRun(run=PartId("R5"), position_m=ISOLATION_M)
    yield Gap(id=PartId("G4"), on=siding, filled=True)
    for number, place in ((5, GATE_M[0] - DEAD_M), (6, GATE_M[1] + DEAD_M)):
        on = OnRun(run=LOWER.id, position_m=round(place, 3))
        yield Gap(id=PartId(f"G{number}"), on=on, filled=True)


def _turnout(number: int, place_m: float, leg: str) -> Turnout:
    return Turnout(
        id=PartId(f"T{number}"),
        on=OnRun(run=LOWER.id, position_m=place_m),
        leg=RunEnd(run=PartId(leg), end="start"),
        joint="soldered",
    )


def _cut(number: int, run: str, pieces: int) -> Gap:
    place = OnRun(run=PartId(run), position_m=round(pieces * PIECE_M, 3))
    return Gap(id=PartId(f"G{number}"), on=place, filled=True)


# Power ----------------------------------------------------------------------


def _supply() -> Iterator[Part]:
    yield Booster(
        id=PartId("PB1"),
        x_mm=300.0,
        y_mm=300.0,
        rated_a=5.0,
        trip_a=5.0,
    )
    for i, name in enumerate(
        ("Lower west", "Lower east", "Helix", "Upper deck"), start=1
    ):
        yield _device(f"CB{i}", "PB1", device="breaker", name=name)
    for i in (1, 2):
        yield _device(f"OD{i}", "CB4", device="detector", trip_a=None)
    yield Booster(
        id=PartId("PB2"),
        name="Programming output",
        x_mm=300.0,
        y_mm=300.0,
        use="programming",
        volts_v=12.0,
        rated_a=0.25,
        trip_a=0.25,
        common="separate",
    )
    yield _device(
        "SW1",
        "CB2",
        device="switch",
        trip_a=None,
        name="Programming",
        poles=4,
        other=ToPort(part=PartId("PB2")),
    )
    yield _device("SW2", "CB2", device="switch", trip_a=None, name="Doorway")


def _device(part: str, feed: str, **fields: Any) -> Inline:
    usual = Inline(
        id=PartId(part),
        device="breaker",
        x_mm=300.0,
        y_mm=300.0,
        feed=ToPort(part=PartId(feed)),
    )
    return msgspec.structs.replace(usual, **fields)


BUSES: tuple[tuple[str, str, str, tuple[tuple[float, float], ...]], ...] = (
    (
        "B1",
        "Lower west",
        "CB1",
        (
            (300.0, 300.0),
            (410.0, 2600.0),
            (410.0, 5090.0),
            (3590.0, 5090.0),
            (3590.0, 2510.0),
            (900.0, 2510.0),
        ),
    ),
    (
        "B2",
        "Lower east",
        "CB2",
        ((300.0, 300.0), (4600.0, 410.0), (5050.0, 900.0), (5050.0, 3700.0)),
    ),
    ("B3", "Lower south-west", "CB2", ((300.0, 300.0), (400.0, 2500.0))),
    (
        "B4",
        "Helix",
        "CB3",
        ((300.0, 300.0), (4700.0, 500.0), (4950.0, 4200.0), (4700.0, 4700.0)),
    ),
    (
        "B5",
        "Upper, north",
        "OD1",
        ((300.0, 300.0), (420.0, 4560.0), (900.0, 5040.0), (4700.0, 5040.0)),
    ),
    (
        "B6",
        "Upper, east",
        "OD2",
        (
            (300.0, 300.0),
            (4560.0, 420.0),
            (5040.0, 900.0),
            (5040.0, 2900.0),
            (4660.0, 3280.0),
            (2200.0, 3280.0),
        ),
    ),
    ("B7", "Programming", "SW1", ((300.0, 300.0), (500.0, 1900.0))),
    ("B8", "Isolation piece", "SW1", ((300.0, 300.0), (450.0, 1900.0))),
    (
        "B9",
        "Before the doorway",
        "SW2",
        ((300.0, 300.0), (4600.0, 450.0), (5000.0, 900.0), (5000.0, 2300.0)),
    ),
)
"""Id, name, device and way of each bus. [mm]"""


def _buses() -> tuple[Bus, ...]:
    found: list[Bus] = []
    for part, name, device, points in BUSES:
        bus = Bus(
            id=PartId(part),
            name=name,
            points=tuple(Point(x_mm=x, y_mm=y) for x, y in points),
            start=ToPort(part=PartId(device)),
            extra_m=1.0 if device == "CB3" else 0.0,
        )
        if part == "B8":
            iso = ToPort(part=PartId("SW1"), port="iso")
            bus = msgspec.structs.replace(bus, start=iso)
        if part == "B5":
            bus = msgspec.structs.replace(bus, end=ToStrip(part=PartId("TS5"), way=1))
        found.append(bus)
    return tuple(found)


def _drops() -> Iterator[Drop]:
    """Yield one drop for each piece of the three mains, two more on each siding."""
    buses = {bus.id: bus for bus in _buses()}
    for number, (run, place, names) in enumerate(_holes(), start=1):
        hole = clear_place(run_path(run), place, _joists())
        near = [buses[PartId(name)] for name in names.split()]
        drop = hang(number, run, hole, near, "left")
        if run is UPPER and place < TS5_DROPS * PIECE_M:
            way = 2 + int(place / PIECE_M)
            to = ToStrip(part=PartId("TS5"), way=way)
            drop = msgspec.structs.replace(drop, to=to)
        yield drop


def _holes() -> Iterator[tuple[TrackRun, float, str]]:
    """Yield where each drop is wanted, and the buses that it may hang on. [m]"""
    lower, helix, upper, passing, siding = _tracks()
    for run in (lower, helix, upper):
        length = run_path(run).length_m
        for i in range(int(length / PIECE_M) + 1):
            start, end = i * PIECE_M, min((i + 1) * PIECE_M, length)
            if end - start > 0.01:
                middle = 0.5 * (start + end)
                yield run, middle, _bus_of(run, i, middle)
    for share in (0.2, 0.5, 0.8):
        yield passing, share * run_path(passing).length_m, "B2 B3"
    yield siding, 0.35, "B8"
    yield siding, 0.75, "B7"


def _bus_of(run: TrackRun, piece: int, middle_m: float) -> str:
    low, high = GATE_M
    on_gate = low < middle_m < high
    if run is LOWER and low - DEAD_M < middle_m < high + DEAD_M and not on_gate:
        return "B9"
    if run is LOWER:
        west, east = LOWER_CUTS
        return "B1" if piece < west else "B2 B3" if piece < east else "B4"
    if run is HELIX:
        return "B4"
    return "B5" if piece < UPPER_CUT else "B6"


def _engines() -> Iterator[Load]:
    """Yield three sets of three sound engines: 1.2, 0.6 and 1.2 A."""
    number = 0
    for run, start, amps in ((LOWER, 6.5, 0.4), (LOWER, 15.0, 0.2), (UPPER, 7.0, 0.4)):
        for i in range(3):
            number += 1
            yield Load(
                id=PartId(f"L{number}"),
                name=f"Engine {number}",
                on=OnRun(run=run.id, position_m=round(start + 0.3 * i, 3)),
                amps_a=amps,
                length_m=1.5 if i == 0 else 0.3,
                idle_a=0.07,
                store_uf=1000.0,
            )
