"""Dapplecombe Sidings: an oval on a 1.2 × 2.4 m board, sound and with its faults.

Where the scenario's figures and geometry disagree, geometry wins:

* The oval of its coordinates is 2·1.26 + 2π·0.50 = 5.66 m long, not 5.74 m.
* T1 and T2 stand 0.9 m apart, so the track between them is 0.91 m, not 1.8 m.
* T3 is named at (1.90, 1.10); the oval passes x = 1.90 at y = 1.095.
* Leads of 0.25 m do not reach from y = 0.10 to a bus at y = 0.60: here they are
  as long as geometry asks, up to 0.69 m.
* "A is the rail nearer the aisle" cannot hold all round an oval: A is the outer
  rail, which is nearer the aisle in front of the station.
* S2 has no drop even in its sound form; here D11 feeds it, and fault 2 takes
  D11 away as it insulates the frog.
* The oval begins where the east curve does: then D6, on the sixth piece, comes
  to lie over the joist at x = 1.200, as fault 4 has it.
"""

from collections.abc import Iterator
from math import acos, cos, degrees, pi, radians, sin
from typing import Any

import msgspec

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Board,
    Booster,
    Bus,
    Drop,
    Gap,
    Joist,
    Load,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Straight,
    ToBus,
    ToPort,
    TrackJoint,
    TrackRun,
    Turnout,
)
from tests.samples.hang import hang

RADIUS_MM = 500.0
PASSING_MM = 62.0
"""From the oval to the passing track and to the spurs. [mm]"""

LEG_MM = 600.0
"""Radius of the curves of a turnout's leg. [mm]"""

SWING_DEG = degrees(acos(1.0 - PASSING_MM / (2.0 * LEG_MM)))
"""Two curves of this angle, left and right, shift a track by PASSING_MM. [°]"""

FRONT_M = (2.0 * pi * RADIUS_MM + 1260.0) / 1000.0
"""Where the straight in front begins along the oval, at x = 0.57. [m]"""

BACK_M = pi * RADIUS_MM / 1000.0
"""Where the straight at the back begins along the oval, at x = 1.83. [m]"""

OVAL = TrackRun(
    id=PartId("R1"),
    name="Oval",
    x_mm=1830.0,
    y_mm=100.0,
    heading_deg=0.0,
    pieces=(
        Arc(radius_mm=RADIUS_MM, sweep_deg=180.0),
        Straight(length_mm=1260.0),
        Arc(radius_mm=RADIUS_MM, sweep_deg=180.0),
        Straight(length_mm=1260.0),
    ),
)

STEM = Bus(
    id=PartId("B1"),
    name="Stem",
    points=(Point(x_mm=1200.0, y_mm=100.0), Point(x_mm=1200.0, y_mm=600.0)),
    wire="1.5mm2-c5",
    start=ToPort(part=PartId("PB1")),
)

JOISTS_MM = (22.0, 600.0, 1200.0, 1800.0, 2378.0)

OVAL_HOLES_M = (0.457, 1.371, 2.285, 3.199, 4.113, 5.077, 5.573)
"""D1 to D7, one on each piece; D6 stands 24 mm clear of the joist's edge. [m]"""

FROG_M = 0.15
"""From the blades of a turnout to its frog, along either way. [m]"""

ON_JOIST_M = 5.032
"""Where fault 4 has D6: at x = 1.200, in the middle of the joist. [m]"""


def dapplecombe() -> Iterator[Part]:
    """Yield the parts of the sound layout."""
    yield Settings(
        title="Dapplecombe Sidings",
        scale="OO",
        test_train_a=1.5,
        notes="Rail A is the outer rail of the oval.",
    )
    yield from _bench()
    spurs = (_passing(), _spur_one(), _spur_two())
    yield from (OVAL, *spurs)
    yield TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=OVAL.id, end="end"),
        b=RunEnd(run=OVAL.id, end="start"),
    )
    yield from _turnouts()
    yield Booster(
        id=PartId("PB1"),
        name="Unit",
        x_mm=1200.0,
        y_mm=100.0,
        rated_a=3.0,
        trip_a=3.0,
        inner_ohm=0.15,
    )
    buses = (STEM, _leg("B2", "West leg", 100.0), _leg("B3", "East leg", 2300.0))
    yield from buses
    yield from _drops(spurs, buses)
    yield Load(
        id=PartId("L1"),
        name="The heaviest train, parked",
        on=OnRun(run=OVAL.id, position_m=round(BACK_M + 0.63, 3)),
        amps_a=1.5,
        length_m=0.9,
        active=False,
    )


def dapplecombe_faulty() -> Iterator[Part]:
    """Yield the same layout with five faults."""
    spoil: dict[str, dict[str, Any]] = {
        # 1: the two wires of D4 are swapped.
        "D4": {"a_rail": "left"},
        # 2: S2 is insulated at the frog and has no drop.
        "T4": {"leg_insulated": "both"},
        # 3: the frog of T2 is live, and of its two heel gaps only G1 was cut.
        "T2": {"frog": "switched", "heel_gaps": False},
        # 4: the hole for D6 is on a joist.
        "D6": {"on": OnRun(run=OVAL.id, position_m=ON_JOIST_M)},
        # 5: the far end of D9 is labelled D6.
        "D9": {"far_label": "D6"},
        "settings": {"title": "Dapplecombe Sidings, with faults"},
    }
    for part in dapplecombe():
        if part.id != "D11":
            yield msgspec.structs.replace(part, **spoil.get(part.id, {}))
    # The rail of the passing track that comes from the frog, 20 mm behind it; its
    # mate on the oval is the gap that is missing.
    frog_m = run_path(_passing()).length_m - FROG_M
    cut = OnRun(run=PartId("R2"), position_m=round(frog_m - 0.02, 3))
    yield Gap(id=PartId("G1"), on=cut, rails="right")


def _bench() -> Iterator[Part]:
    yield Board(
        id=PartId("BD1"),
        name="Dapplecombe",
        x_mm=0.0,
        y_mm=0.0,
        width_mm=2400.0,
        depth_mm=1200.0,
    )
    for i, x in enumerate(JOISTS_MM, start=1):
        yield Joist(id=PartId(f"JS{i}"), x1_mm=x, y1_mm=0.0, x2_mm=x, y2_mm=1200.0)


def _turnouts() -> Iterator[Turnout]:
    for number, place, opens, hand, leg in (
        (1, _front(750.0), "forward", "left", ("R2", "start")),
        (2, _front(1650.0), "backward", "right", ("R2", "end")),
        (3, _east(1900.0), "forward", "right", ("R3", "start")),
        (4, _back(1400.0), "forward", "left", ("R4", "start")),
    ):
        yield Turnout(
            id=PartId(f"T{number}"),
            on=OnRun(run=OVAL.id, position_m=place),
            opens="forward" if opens == "forward" else "backward",
            hand="left" if hand == "left" else "right",
            leg=RunEnd(run=PartId(leg[0]), end="start" if leg[1] == "start" else "end"),
            lead_m=FROG_M,
        )


def _front(x_mm: float) -> float:
    """Return where along the oval the front straight passes x. [m]"""
    return FRONT_M + (x_mm - 570.0) / 1000.0


def _back(x_mm: float) -> float:
    """Return where along the oval the back straight passes x. [m]"""
    return BACK_M + (1830.0 - x_mm) / 1000.0


def _east(x_mm: float) -> float:
    """Return where along the oval the back half of the east curve passes x. [m]"""
    return (pi / 2.0 + acos((x_mm - 1830.0) / RADIUS_MM)) * RADIUS_MM / 1000.0


def _from(number: int, name: str, place_m: float, *pieces: Straight | Arc) -> TrackRun:
    toe = run_path(OVAL).at(place_m)
    return TrackRun(
        id=PartId(f"R{number}"),
        name=name,
        x_mm=toe.x_mm,
        y_mm=toe.y_mm,
        heading_deg=degrees(toe.heading),
        pieces=pieces,
    )


def _passing() -> TrackRun:
    """Return the passing track: out by two curves, along, and back by two.

    Each pair of curves takes 2·600·sin(18.5°) = 380.7 mm of the 900 mm.
    """
    along = 900.0 - 4.0 * LEG_MM * sin(radians(SWING_DEG))
    out = Arc(radius_mm=LEG_MM, sweep_deg=SWING_DEG)
    back = Arc(radius_mm=LEG_MM, sweep_deg=-SWING_DEG)
    straight = Straight(length_mm=along)
    return _from(2, "Passing track", _front(750.0), out, back, straight, back, out)


def _spur_one() -> TrackRun:
    """Return S1: it goes straight on where the oval curves, then runs beside it.

    At x = 1.90 the oval heads 8.05° off the back straight; S1 rises by
    sin(8.05°) of its first straight and by R·(1 − cos 8.05°) of its curve.
    """
    at = run_path(OVAL).at(_east(1900.0))
    turn = pi - at.heading
    beside_mm = 1100.0 + PASSING_MM
    first = (beside_mm - at.y_mm - RADIUS_MM * (1.0 - cos(turn))) / sin(turn)
    rest = 800.0 - first - RADIUS_MM * turn
    return _from(
        3,
        "Spur S1",
        _east(1900.0),
        Straight(length_mm=first),
        Arc(radius_mm=RADIUS_MM, sweep_deg=degrees(turn)),
        Straight(length_mm=rest),
    )


def _spur_two() -> TrackRun:
    """Return S2, inside the oval: two curves, and 0.6 m in all."""
    out = Arc(radius_mm=LEG_MM, sweep_deg=SWING_DEG)
    back = Arc(radius_mm=LEG_MM, sweep_deg=-SWING_DEG)
    rest = 600.0 - 2.0 * LEG_MM * radians(SWING_DEG)
    straight = Straight(length_mm=rest)
    return _from(4, "Spur S2", _back(1400.0), out, back, straight)


def _leg(bus_id: str, name: str, to_x_mm: float) -> Bus:
    return Bus(
        id=PartId(bus_id),
        name=name,
        points=(Point(x_mm=1200.0, y_mm=600.0), Point(x_mm=to_x_mm, y_mm=600.0)),
        wire="1.5mm2-c5",
        start=ToBus(part=STEM.id, position_m=0.5),
    )


def _drops(spurs: tuple[TrackRun, ...], buses: tuple[Bus, ...]) -> Iterator[Drop]:
    passing, one, two = spurs
    holes = [(OVAL, position) for position in OVAL_HOLES_M]
    holes += [(passing, 0.25), (passing, 0.66), (one, 0.6), (two, 0.45)]
    for number, (run, position) in enumerate(holes, start=1):
        yield hang(number, run, position, buses, "right")
