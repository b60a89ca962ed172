"""Lorrimoor Shed: a turntable with five roads, and a traverser at the other end.

Our own scenario, HO on one board of 2.2 × 1.2 m. A turntable of 300 mm, its middle at
(600, 600), has the roads of a shed on its left, at 135 to 195 degrees, and the
approach at 0. The approach leads to a traverser with three roads beyond.

The ring of the turntable is cut at 0 and 180 degrees, its pick-ups stand across the
bridge: the poles change over as the bridge lies along 90, where no track is.
"""

from collections.abc import Iterator
from math import cos, radians, sin
from typing import Any

from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.parts import (
    Board,
    Booster,
    Bus,
    Joist,
    Load,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Side,
    Straight,
    ToPort,
    TrackRun,
    Turntable,
)
from tests.samples.hang import hang

ACROSS_MM = 300.0
ROADS_DEG = (135.0, 150.0, 165.0, 180.0, 195.0)
"""Bearings of the shed's roads from the middle of the turntable."""

ROAD_MM = 400.0
BEYOND_Y_MM = (530.0, 600.0, 670.0)
"""Where the roads beyond the traverser lie."""

FAULTS = """What is wrong here:
1. Road 5 of the shed is soldered the wrong way round, R6.
2. The ring of the turntable is cut at 42 degrees: 3 degrees off road 1.
3. The middle road beyond the traverser is soldered the wrong way round, R10.
4. The last road beyond the traverser, R11, ends 14 mm short of its pit."""


def lorrimoor() -> Iterator[Part]:
    """Yield the sound layout."""
    yield Settings(
        title="Lorrimoor Shed",
        scale="HO",
        test_train_a=0.5,
        notes="Rail A is the left one on the way to the shed.",
    )
    yield Board(
        id=PartId("BD1"),
        name="Shed board",
        x_mm=0.0,
        y_mm=0.0,
        width_mm=2200.0,
        depth_mm=1200.0,
    )
    for i, x in enumerate((100.0, 850.0, 1150.0, 2000.0), start=1):
        yield Joist(id=PartId(f"JS{i}"), x1_mm=x, y1_mm=0.0, x2_mm=x, y2_mm=1200.0)
    yield from _tracks()
    yield from (_turntable(), _traverser(), _booster())
    yield from _buses()
    buses = tuple(_buses())
    for number, (run, position_m, side) in enumerate(_holes(), start=1):
        yield hang(number, run, position_m, buses, side)
    yield Load(
        id=PartId("L1"),
        name="Shunter",
        on=OnRun(run=PartId("R7"), position_m=0.25),
        amps_a=0.4,
        length_m=0.15,
    )


def lorrimoor_faulty() -> Iterator[Part]:
    """Yield the same layout with the faults in `FAULTS`."""
    spoil: dict[str, dict[str, Any]] = {
        "settings": {"title": "Lorrimoor Shed, with faults", "notes": FAULTS},
        "D6": {"a_rail": "right"},
        "TT1": {"split_deg": 42.0},
        "D10": {"a_rail": "left"},
        "R11": {"x_mm": 1564.0},
        "TT2": {"stalls": _traverser().stalls[:-1]},
    }
    for part in lorrimoor():
        yield replace(part, **spoil.get(part.id, {}))


def _track(
    number: int, name: str, x_mm: float, y_mm: float, heading_deg: float, long_mm: float
) -> TrackRun:
    return TrackRun(
        id=PartId(f"R{number}"),
        name=name,
        x_mm=x_mm,
        y_mm=y_mm,
        heading_deg=heading_deg,
        pieces=(Straight(length_mm=long_mm),),
    )


def _tracks() -> Iterator[TrackRun]:
    yield _track(1, "Turntable bridge", 750.0, 600.0, 180.0, ACROSS_MM)
    for number, bearing in enumerate(ROADS_DEG, start=1):
        turn, half = radians(bearing), 0.5 * ACROSS_MM
        x, y = 600.0 + half * cos(turn), 600.0 + half * sin(turn)
        yield _track(number + 1, f"Road {number}", x, y, bearing, ROAD_MM)
    yield _track(7, "Approach", 1250.0, 600.0, 180.0, 500.0)
    yield _track(8, "Traverser bridge", 1550.0, 600.0, 180.0, ACROSS_MM)
    for number, y in enumerate(BEYOND_Y_MM, start=1):
        yield _track(number + 8, f"Beyond {number}", 1550.0, y, 0.0, 600.0)


def _turntable() -> Turntable:
    roads = [RunEnd(run=PartId(f"R{n}"), end="start") for n in range(2, 7)]
    return Turntable(
        id=PartId("TT1"),
        name="Shed table",
        x_mm=600.0,
        y_mm=600.0,
        across_mm=ACROSS_MM,
        bridge=PartId("R1"),
        stalls=(*roads, RunEnd(run=PartId("R7"), end="end")),
        split_deg=0.0,
    )


def _traverser() -> Turntable:
    roads = [RunEnd(run=PartId(f"R{n}"), end="start") for n in range(9, 12)]
    return Turntable(
        id=PartId("TT2"),
        name="Traverser",
        form="traverser",
        x_mm=1400.0,
        y_mm=600.0,
        across_mm=ACROSS_MM,
        travel_mm=280.0,
        bridge=PartId("R8"),
        stalls=(RunEnd(run=PartId("R7"), end="start"), *roads),
    )


def _booster() -> Booster:
    return Booster(
        id=PartId("PB1"),
        name="Controller",
        x_mm=160.0,
        y_mm=300.0,
        rated_a=3.0,
        trip_a=3.0,
    )


def _buses() -> Iterator[Bus]:
    start = Point(x_mm=160.0, y_mm=300.0)
    for number, name, end in (
        (1, "Long bus", Point(x_mm=1900.0, y_mm=300.0)),
        (2, "Shed bus", Point(x_mm=160.0, y_mm=900.0)),
    ):
        yield Bus(
            id=PartId(f"B{number}"),
            name=name,
            points=(start, end),
            start=ToPort(part=PartId("PB1")),
        )


def _holes() -> Iterator[tuple[TrackRun, float, Side]]:
    """Yield where the drops stand, and which rail A is on there."""
    for run in _tracks():
        beyond = run.id in ("R9", "R10", "R11")
        on_bridge = run.id in ("R1", "R8")
        yield run, 0.15 if on_bridge else 0.2, "right" if beyond else "left"
