"""Wulfenmoor Regional: a club basement with 40 m of code 83 main, and its faults.

Where the scenario's figures and geometry disagree, or leave something open:

* Its bench spine is 46 m long, its main 40 m: 44 pieces of 0.914 m are 40.2 m, and
  with corners of 0.75 m radius they end at (9.50, 6), not at (14, 6). Bench and main
  begin at (0, 0); what lies beyond (9.50, 6) is bench without track.
* "Yard 7 × 3.2 m" is read as seven tracks of 3.2 m, each counted from its points.
* Its figures hold for a bus as long as the main, 0.15 Ω inside the booster (17.8 A
  and "0.81 Ω, 81 µH" ask for it) and wire without slack.
* All boosters on the shelf at (0, 0) cannot feed three districts in their middles:
  feeders of 6.7, 20 and 33 m would cost more than the districts save (up to 2.5 V at
  4.5 A). The three stand at the middles of their districts.
* Districts of 13.4 m would part rail pieces: they are 15, 14 and 15 pieces long.
* The museum siding's place is not given: it stands by the main at (14, 2), where
  11 m of bell wire along the bench reach it from the first booster.
* "A nearer the aisle" cannot hold on a bench with aisles on both sides: rail A is
  the right one walking from the west terminus.

* "Bus segments 3 and 4" are the two legs of the second district, each labelled as
  the other where they leave its booster.

Fault 8, a drop that nobody knew of, is drawn as the loose end it is.
"""

from collections.abc import Iterator
from typing import Any, Literal

import msgspec

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Booster,
    Bus,
    Conductor,
    Drop,
    Gap,
    Load,
    OnRun,
    Part,
    Point,
    Settings,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
)
from tests.samples.hang import hang
from tests.samples.wulfenmoor_bench import bench, clear_of_joists
from tests.samples.wulfenmoor_track import (
    MAIN,
    PIECE_M,
    PIECES,
    YARD_HOLE_M,
    toe_m,
    tracks,
    turnouts,
)

Lay = Literal["twisted", "side by side", "apart"]
Trains = Literal["session", "spread", "bunched"]

DISTRICTS = ((0, 15), (15, 29), (29, 44))
"""First piece of each district, and the first one beyond it."""

BESIDE_BUS_MM = 110.0
"""From the main to the bus, so that leads are 0.3 m long. [mm]"""

BUS_END_M = 39.91
"""Where the end-fed bus ends along the main: it is then 40.0 m long. [m]"""

BELL_WIRE_MM = (
    (6855.0, -110.0),
    (6855.0, -250.0),
    (14250.0, -250.0),
    (14250.0, 2200.0),
)
"""How the bell wire runs from the first booster to the museum siding. [mm]"""

TRAINS_M: dict[Trains, tuple[float, ...]] = {
    "session": (4.0, 12.0, 20.0, 28.0),
    "spread": (4.0, 12.0, 20.0, 28.0, 36.0),
    "bunched": (38.1, 38.6, 39.1, 39.6, 40.1),
}
"""Where trains draw: in session the fifth is the one tried everywhere. [m]"""

FAULTS = """What is wrong here:
1. Strip TS6 at the east terminus hangs its drops the wrong way round as a block.
2. B3 and B4, the legs of the second district, are labelled as each other and joined \
in the wrong order.
3. G1, between the first two districts, parts one rail only.
4. The museum siding hangs on 11 m of bell wire.
5. The boosters give 15.0, 14.2 and 15.0 V: wheels across G1 even that out.
6. The third booster's phase is reversed: 29 V across G2.
7. Two instructions say two things about the boosters' common; of the third none is \
at hand.
8. D53, behind the lamp fitting in the yard, stood in no plan and ends nowhere."""


def wulfenmoor(
    *, wire: str = "awg14-solid", lay: Lay = "twisted", trains: Trains = "session"
) -> Iterator[Part]:
    """Yield the railway in three districts, each fed in its middle by 5 A."""
    yield from _common("Wulfenmoor Regional", trains)
    buses: list[Bus] = []
    for number, (first, last) in enumerate(DISTRICTS, start=1):
        legs = _legs(number, first, last, wire=wire, lay=lay)
        yield from _district(number, legs)
        buses += legs
    for number, (first, _) in enumerate(DISTRICTS[1:], start=1):
        yield Gap(
            id=PartId(f"G{number}"),
            on=OnRun(run=MAIN.id, position_m=first * PIECE_M),
            filled=True,
        )
    for drop in _drops(buses):
        yield _to_strip(drop)


def wulfenmoor_end_fed(
    *,
    wire: str = "awg14-solid",
    lay: Lay = "apart",
    spacing_mm: float = 100.0,
    trains: Trains = "session",
) -> Iterator[Part]:
    """Yield the railway as it was: one booster of 8 A at the west end."""
    yield from _common("Wulfenmoor Regional, fed at one end", trains)
    yield _booster(1, 0.0, 0.0, amps=8.0)
    bus = Bus(
        id=PartId("B1"),
        name="Bus",
        points=(Point(x_mm=0.0, y_mm=0.0), *_beside_main(0.0, BUS_END_M)),
        wire=wire,
        lay=lay,
        spacing_mm=spacing_mm,
        slack=0.0,
        start=ToPort(part=PartId("PB1")),
    )
    yield bus
    yield from _drops([bus])


def wulfenmoor_faulty() -> Iterator[Part]:
    """Yield the three districts with the eight faults in `FAULTS`."""
    bell = _bell_wire()
    spoil: dict[str, dict[str, Any]] = {
        "settings": {"title": "Wulfenmoor Regional, with faults", "notes": FAULTS},
        "TS6": {"flipped": True},
        "B3": {"start_label": "B4"},
        "B4": {"start_label": "B3"},
        "G1": {"rails": "left"},
        "T8": {"leg_insulated": "both"},
        "D52": {"to": ToBus(part=bell.id, position_m=bus_path(bell).length_m)},
        "PB1": {"common": "joined"},
        "PB2": {"common": "separate", "volts_v": 14.2},
        "PB3": {"reversed_phase": True},
    }
    for part in wulfenmoor():
        yield msgspec.structs.replace(part, **spoil.get(part.id, {}))
    yield bell
    yield Drop(
        id=PartId("D53"),
        on=OnRun(run=PartId("R3"), position_m=2.4),
        wire="awg22-solid",
        a_rail="left",
        note="Found behind the lamp fitting; in no plan. It shorts when the lamp moves.",
    )


def _common(title: str, trains: Trains) -> Iterator[Part]:
    """Yield what all versions share: settings, bench, track and trains."""
    yield Settings(
        title=title,
        scale="HO",
        wires="awg",
        conductor_a=Conductor(name="A", colour="red"),
        conductor_b=Conductor(name="B", colour="blue"),
        test_train_a=0.9,
        notes="Rail A is the right one walking from the west terminus.",
    )
    yield from bench()
    yield from (MAIN, *tracks())
    yield from turnouts()
    for number, position in enumerate(TRAINS_M[trains], start=1):
        yield Load(
            id=PartId(f"L{number}"),
            name=f"Train {number}",
            on=OnRun(run=MAIN.id, position_m=position),
            amps_a=0.9,
            length_m=2.0,
        )


def _holes() -> list[float]:
    """Return one place on each piece of the main, clear of joists. [m]"""
    path = run_path(MAIN)
    return [clear_of_joists(path, (i + 0.5) * PIECE_M) for i in range(PIECES)]


def _drops(buses: list[Bus]) -> Iterator[Drop]:
    """Yield D1 to D44 on the main, D45 to D51 in the yard, D52 at the museum."""
    ladder, *yards, museum = tracks()
    holes = [(MAIN, position) for position in _holes()]
    for run, wanted in (
        *((yard, YARD_HOLE_M) for yard in yards),
        (ladder, toe_m(7) + YARD_HOLE_M),
        (museum, 1.1),
    ):
        holes.append((run, clear_of_joists(run_path(run), wanted)))
    for number, (run, position) in enumerate(holes, start=1):
        yield msgspec.structs.replace(
            hang(number, run, position, buses, "right"),
            wire="awg22-solid",
            contact="solder-joint",
        )


def _ends(first: int, last: int) -> tuple[float, float]:
    """Return where a district's legs end: amid its outermost two drops. [m]"""
    holes = _holes()
    west = 0.5 * (holes[first] + holes[first + 1])
    return west, 0.5 * (holes[last - 2] + holes[last - 1])


def _legs(number: int, first: int, last: int, *, wire: str, lay: Lay) -> list[Bus]:
    """Return the two legs of a district's bus, from its middle to its strips."""
    middle = 0.5 * (first + last) * PIECE_M
    west, east = _ends(first, last)
    ways = (_beside_main(west, middle)[::-1], _beside_main(middle, east))
    return [
        Bus(
            id=PartId(f"B{2 * number - 1 + i}"),
            name=f"District {number}, {('west', 'east')[i]} leg",
            points=points,
            wire=wire,
            lay=lay,
            start=ToPort(part=PartId(f"PB{number}")),
            end=ToStrip(part=PartId(f"TS{2 * number - 1 + i}"), way=1),
        )
        for i, points in enumerate(ways)
    ]


def _district(number: int, legs: list[Bus]) -> Iterator[Part]:
    middle = legs[0].points[0]
    yield _booster(number, middle.x_mm, middle.y_mm, amps=5.0)
    yield from legs
    for i, leg in enumerate(legs):
        yield Strip(
            id=PartId(f"TS{2 * number - 1 + i}"),
            x_mm=leg.points[-1].x_mm,
            y_mm=leg.points[-1].y_mm,
            ways=4,
        )


def _to_strip(drop: Drop) -> Drop:
    """Return a drop screwed to a strip, where it is one of a leg's last two."""
    number = int(drop.id[1:])
    for district, (first, last) in enumerate(DISTRICTS):
        for i, drops in enumerate(((first + 1, first + 2), (last - 1, last))):
            if number in drops:
                strip = PartId(f"TS{2 * district + 1 + i}")
                way = 2 + drops.index(number)
                return msgspec.structs.replace(drop, to=ToStrip(part=strip, way=way))
    return drop


def _booster(number: int, x_mm: float, y_mm: float, *, amps: float) -> Booster:
    return Booster(
        id=PartId(f"PB{number}"),
        name=f"Booster {number}",
        x_mm=x_mm,
        y_mm=y_mm,
        rated_a=amps,
        trip_a=amps,
        inner_ohm=0.15,
        common="separate",
    )


def _beside_main(start_m: float, end_m: float) -> tuple[Point, ...]:
    """Return the points of a bus along a part of the main, to its right."""
    line = run_path(MAIN).line(start_m, end_m, step_mm=250.0, offset_mm=-BESIDE_BUS_MM)
    return tuple(
        Point(x_mm=round(float(x), 1), y_mm=round(float(y), 1)) for x, y in line
    )


def _bell_wire() -> Bus:
    """Return 11 m of bell wire, with what hangs down at both ends."""
    points = tuple(Point(x_mm=x, y_mm=y) for x, y in BELL_WIRE_MM)
    bus = Bus(
        id=PartId("B7"),
        name="Bell wire",
        points=points,
        wire="0.14mm2-hookup",
        lay="side by side",
        slack=0.0,
        start=ToPort(part=PartId("PB1")),
    )
    return msgspec.structs.replace(bus, extra_m=11.0 - bus_path(bus).length_m)
