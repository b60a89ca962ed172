"""Fennimarsh Loops: a station, a wye with its tail and a loop, sound and faulty.

An island bench of 6.3 × 2.5 m, HO, code 83. The main comes out of the station in the
west, passes the wye whose tail leads north, and ends in a loop in the east. Station
behind PB2, the rest behind PB1; two reversers turn the tail and the loop. Rail A is
the left one walking east. All of it is invented.
"""

from collections.abc import Iterator
from math import pi, radians, sin
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
    Inline,
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
    Turnout,
)
from tests.samples.curves import beside, leg_from, swing, swing_deg
from tests.samples.hang import hang
from tests.samples.holes import clear_place

RADIUS_MM = 500.0
BESIDE_MM = 60.0
"""From the main to the platform track, and from that to the goods track. [mm]"""

LEG_MM = 600.0
"""Radius of the curves of a turnout's leg in the station. [mm]"""

T5_M, T6_M, G1_M, T2_M, T3_M, T1_M = 0.4, 1.7, 1.9, 2.8, 3.8, 4.4
"""Along the main: both ends of the platform track, the district gap, the two toes of
the wye and that of the loop. [m]"""

LOOP_M = 7.0 * pi / 3.0 * RADIUS_MM / 1000.0
"""Right 60°, left 300°, right 60°: back at the toe, turned about. [m]"""

QUARTER_M = pi / 2.0 * RADIUS_MM / 1000.0
"""Each leg of the wye, from the main to the tail's points. [m]"""

HEEL_M = 0.3
"""From a toe to the gap: 0.15 m of turnout, and 0.15 m clear of it. [m]"""

MAIN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=300.0,
    y_mm=600.0,
    heading_deg=0.0,
    pieces=(
        Straight(length_mm=1000.0 * T1_M),
        Arc(radius_mm=RADIUS_MM, sweep_deg=-60.0),
        Arc(radius_mm=RADIUS_MM, sweep_deg=300.0),
        Arc(radius_mm=RADIUS_MM, sweep_deg=-60.0),
    ),
    rail="code83-ns",
    joint="soldered",
)

JOISTS = tuple(
    Joist(id=PartId(f"JS{i + 1}"), x1_mm=x, y1_mm=0.0, x2_mm=x, y2_mm=2500.0)
    for i, x in enumerate(100.0 + 610.0 * n for n in range(11))
)

FAULTS = """What is wrong here:
1. The output of PB2 is the wrong way round: 30 V across G1.
2. The loop has one double gap only: G3 was forgotten.
3. The tail of the wye hangs on CB1; nobody thought of a reverser.
4. T6 has a live crossing, and of its two heel gaps only the one on the platform \
track, G9, was cut.
5. The goods track has no drop: it lives through the blades of T7.
6. The platform lamps, L3, hang on the rails of a detected track.
7. D9, on the platform track, was tapped to the bus before the detector.
8. The two wires of D19, in the loop, are swapped.
9. AR1 is set to 30 ms: CB1 trips before it can turn."""


def fennimarsh() -> Iterator[Part]:
    """Yield the sound layout."""
    yield Settings(
        title="Fennimarsh Loops",
        scale="HO",
        test_train_a=0.8,
        notes="Rail A is the left one walking east.",
    )
    yield from _bench()
    yield from _tracks()
    yield from _turnouts()
    yield from _gaps()
    yield from _supply()
    yield from _buses()
    yield from _drops()
    yield from _trains()


def fennimarsh_faulty() -> Iterator[Part]:
    """Yield the same layout with the nine faults in `FAULTS`."""
    spoil: dict[str, dict[str, Any]] = {
        "settings": {"title": "Fennimarsh Loops, with faults", "notes": FAULTS},
        "PB2": {"reversed_phase": True},
        "B6": {"start": ToPort(part=PartId("CB1"))},
        "T6": {"frog": "switched", "heel_gaps": False},
        "T7": {"frog": "self-powered", "heel_gaps": False},
        "D19": {"a_rail": "left"},
        "AR1": {"trip_s": 0.030},
    }
    left_out = {"G3", "AR2", "D10", "D11", "D12"}
    for part in fennimarsh():
        if part.id in left_out:
            continue
        made = msgspec.structs.replace(part, **spoil.get(part.id, {}))
        if isinstance(made, Drop) and made.id == "D9":
            platform = next(run for run in _tracks() if run.id == "R2")
            near = [bus for bus in _buses() if bus.id in ("B1", "B2")]
            made = hang(9, platform, made.on.position_m, near, made.a_rail)
        yield made
    length = run_path(next(run for run in _tracks() if run.id == "R2")).length_m
    # The rail of the platform track that comes from T6's crossing, and the one of it
    # that leads on past T7's: both are cut 20 mm behind the crossing.
    yield _cut(9, "R2", length - 0.17, "left")
    yield _cut(10, "R2", _goods_toe_m() + 0.17, "right")
    yield Load(
        id=PartId("L3"),
        name="Platform lamps",
        on=OnRun(run=PartId("R2"), position_m=0.45),
        use="standing",
        amps_a=0.03,
    )


def _bench() -> Iterator[Part]:
    for i, name in enumerate(("West", "Middle", "East")):
        yield Board(
            id=PartId(f"BD{i + 1}"),
            name=name,
            x_mm=2100.0 * i,
            y_mm=0.0,
            width_mm=2100.0,
            depth_mm=2500.0,
        )
    yield from JOISTS


def _tracks() -> tuple[TrackRun, ...]:
    """Return the main, the platform and goods tracks, the tail and the wye's leg."""
    out, back = swing(BESIDE_MM, LEG_MM, "right"), swing(BESIDE_MM, LEG_MM, "left")
    curved = 4.0 * LEG_MM * sin(radians(swing_deg(BESIDE_MM, LEG_MM)))
    straight = Straight(length_mm=1000.0 * (T6_M - T5_M) - curved)
    common: dict[str, Any] = {"joint": "soldered"}
    platform = leg_from(
        MAIN, T5_M, "R2", (*out, straight, *back), name="Platform", **common
    )
    quarter = Arc(radius_mm=RADIUS_MM, sweep_deg=90.0)
    tail = leg_from(
        MAIN, T2_M, "R3", (quarter, Straight(length_mm=1300.0)), name="Tail", **common
    )
    toe = run_path(MAIN).at(T3_M)
    leg = TrackRun(
        id=PartId("R4"),
        name="East leg",
        x_mm=toe.x_mm,
        y_mm=toe.y_mm,
        heading_deg=180.0,
        pieces=(Arc(radius_mm=RADIUS_MM, sweep_deg=-90.0),),
        rail=MAIN.rail,
        joint="soldered",
    )
    goods = leg_from(
        platform,
        _goods_toe_m(),
        "R5",
        beside(BESIDE_MM, LEG_MM, "right", length_mm=800.0),
        name="Goods",
        **common,
    )
    return MAIN, platform, tail, leg, goods


def _goods_toe_m() -> float:
    """Return where the goods track leaves, 50 mm past the platform's curves. [m]"""
    turned = 2.0 * LEG_MM * radians(swing_deg(BESIDE_MM, LEG_MM))
    return round(turned / 1000.0 + 0.05, 3)


def _turnouts() -> Iterator[Turnout]:
    for number, run, place, opens, hand, leg, end in (
        (1, "R1", T1_M, "forward", "left", "R1", "end"),
        (2, "R1", T2_M, "forward", "left", "R3", "start"),
        (3, "R1", T3_M, "backward", "right", "R4", "start"),
        (4, "R3", QUARTER_M, "backward", "left", "R4", "end"),
        (5, "R1", T5_M, "forward", "right", "R2", "start"),
        (6, "R1", T6_M, "backward", "left", "R2", "end"),
        (7, "R2", _goods_toe_m(), "forward", "right", "R5", "start"),
    ):
        yield Turnout(
            id=PartId(f"T{number}"),
            on=OnRun(run=PartId(run), position_m=place),
            opens="forward" if opens == "forward" else "backward",
            hand="left" if hand == "left" else "right",
            leg=RunEnd(run=PartId(leg), end="start" if end == "start" else "end"),
            joint="soldered",
            frog="switched" if number == 7 else "insulated",
        )


def _cut(number: int, run: str, place_m: float, side: Side | None = None) -> Gap:
    return Gap(
        id=PartId(f"G{number}"),
        on=OnRun(run=PartId(run), position_m=round(place_m, 3)),
        rails=side or "both",
        filled=True,
    )


def _gaps() -> Iterator[Gap]:
    """Yield the district's gap, two each for loop and tail, and the detector's.

    The platform track is a detection block: its A rail, the left one, is cut.
    """
    platform = run_path(_tracks()[1]).length_m
    yield _cut(1, "R1", G1_M)
    yield _cut(2, "R1", T1_M + HEEL_M)
    yield _cut(3, "R1", T1_M + LOOP_M - HEEL_M)
    yield _cut(4, "R3", QUARTER_M / 2.0)
    yield _cut(5, "R4", QUARTER_M / 2.0)
    yield _cut(6, "R2", HEEL_M, "left")
    yield _cut(7, "R2", platform - HEEL_M, "left")


def _supply() -> Iterator[Part]:
    for number, x in ((1, 3600.0), (2, 1350.0)):
        yield Booster(
            id=PartId(f"PB{number}"),
            x_mm=x,
            y_mm=250.0,
            rated_a=5.0,
            trip_a=5.0,
            inner_ohm=0.1,
            common="separate",
        )
    for part, feed, x, y in (
        ("CB1", "PB1", 3600.0, 300.0),
        ("CB2", "PB2", 1350.0, 300.0),
        ("AR1", "CB1", 3660.0, 350.0),
        ("AR2", "CB1", 3540.0, 350.0),
        ("OD1", "CB2", 1410.0, 350.0),
    ):
        kinds = {"CB": "breaker", "AR": "reverser", "OD": "detector"}
        usual = Inline(
            id=PartId(part),
            device="breaker",
            x_mm=x,
            y_mm=y,
            feed=ToPort(part=PartId(feed)),
        )
        fields: dict[str, Any] = {"device": kinds[part[:2]]}
        if part.startswith("AR"):
            fields |= {"trip_a": 3.0, "trip_s": 0.005}
        if part.startswith("OD"):
            fields |= {"trip_a": None}
        yield msgspec.structs.replace(usual, **fields)


def _buses() -> tuple[Bus, ...]:
    """Return two each for station and main, one each for platform, tail and loop."""
    ways: tuple[tuple[str, str, str, tuple[tuple[float, float], ...]], ...] = (
        ("B1", "Station, west", "CB2", ((1350.0, 300.0), (400.0, 450.0))),
        ("B2", "Station, east", "CB2", ((1350.0, 300.0), (2150.0, 450.0))),
        ("B3", "Platform", "OD1", ((1410.0, 350.0), (800.0, 420.0))),
        ("B4", "Main, west", "CB1", ((3600.0, 300.0), (2300.0, 500.0))),
        ("B5", "Main, east", "CB1", ((3600.0, 300.0), (4900.0, 500.0))),
        (
            "B6",
            "Tail",
            "AR2",
            ((3540.0, 350.0), (3540.0, 1000.0), (3660.0, 1200.0), (3660.0, 2300.0)),
        ),
        (
            "B7",
            "Loop",
            "AR1",
            (
                (3660.0, 350.0),
                (5160.0, 350.0),
                (5160.0, 900.0),
                (5960.0, 900.0),
                (5960.0, 300.0),
            ),
        ),
    )
    return tuple(
        Bus(
            id=PartId(bus),
            name=name,
            points=tuple(Point(x_mm=x, y_mm=y) for x, y in points),
            wire="1.5mm2-c5",
            start=ToPort(part=PartId(device)),
        )
        for bus, name, device, points in ways
    )


def _drops() -> Iterator[Drop]:
    """Yield the drops: station, platform, goods, main, loop and tail in turn."""
    runs = {run.id: run for run in _tracks()}
    buses = {bus.id: bus for bus in _buses()}
    platform = run_path(runs[PartId("R2")]).length_m
    wanted: list[tuple[str, float, str, Side]] = [
        ("R1", 0.2, "B1 B2", "left"),
        ("R1", 0.75, "B1 B2", "left"),
        ("R1", 1.3, "B1 B2", "left"),
        ("R1", 1.8, "B1 B2", "left"),
        ("R2", 0.2, "B1 B2", "left"),
        ("R2", platform - 0.22, "B1 B2", "left"),
        ("R2", 0.4, "B3", "left"),
        ("R2", 0.65, "B3", "left"),
        ("R2", 0.85, "B3", "left"),
        ("R5", 0.3, "B3", "left"),
        ("R5", 0.55, "B3", "left"),
        ("R5", 0.7, "B3", "left"),
        ("R1", 2.3, "B4 B5", "left"),
        ("R1", 3.3, "B4 B5", "left"),
        ("R1", 4.1, "B4 B5", "left"),
        ("R3", 0.25, "B4 B5", "left"),
        ("R4", 0.25, "B4 B5", "right"),
        ("R1", T1_M + 0.7, "B7", "right"),
        ("R1", T1_M + 1.4, "B7", "right"),
        ("R1", T1_M + 2.2, "B7", "right"),
        ("R1", T1_M + 2.9, "B7", "right"),
        ("R3", 0.6, "B6", "left"),
        ("R3", 1.2, "B6", "left"),
        ("R3", 1.8, "B6", "left"),
        ("R4", 0.6, "B6", "left"),
    ]
    for number, (run, place, names, a_rail) in enumerate(wanted, start=1):
        track = runs[PartId(run)]
        hole = clear_place(run_path(track), place, JOISTS)
        near = [buses[PartId(name)] for name in names.split()]
        yield hang(number, track, hole, near, a_rail)


def _trains() -> Iterator[Load]:
    for number, name, place, amps in (
        (1, "Local", 0.9, 0.6),
        (2, "Goods train", 3.5, 0.8),
    ):
        yield Load(
            id=PartId(f"L{number}"),
            name=name,
            on=OnRun(run=MAIN.id, position_m=place),
            amps_a=amps,
            length_m=1.2,
        )
