"""The first board: one run of track, one booster, a short bus and three drops."""

from collections.abc import Iterator

from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Board,
    Booster,
    Bus,
    Joist,
    Load,
    OnRun,
    Part,
    Point,
    Settings,
    Straight,
    ToPort,
    TrackRun,
)
from tests.samples.hang import hang

MAIN = TrackRun(
    # 420 + 2 × (900 · 20° = 314.16) + 80 = 1128.3 mm: two pieces, one joint.
    id=PartId("R1"),
    name="Main",
    x_mm=40.0,
    y_mm=220.0,
    heading_deg=0.0,
    pieces=(
        Straight(length_mm=420.0),
        Arc(radius_mm=900.0, sweep_deg=20.0),
        Arc(radius_mm=900.0, sweep_deg=-20.0),
        Straight(length_mm=80.0),
    ),
)

BOOSTER = Booster(
    id=PartId("PB1"),
    name="Controller",
    x_mm=90.0,
    y_mm=80.0,
    rated_a=2.0,
    trip_a=2.0,
    inner_ohm=0.1,
)

BUS = Bus(
    id=PartId("B1"),
    name="Bus",
    points=(Point(x_mm=90.0, y_mm=80.0), Point(x_mm=1090.0, y_mm=80.0)),
    wire="1.5mm2-c5",
    start=ToPort(part=BOOSTER.id),
)

HOLES_M = (0.26, 0.70, 1.02)
"""Where the drops stand: on the straight, in the curve, on the second piece. [m]"""


def tansyford() -> Iterator[Part]:
    """Yield a halt on a 1.2 × 0.6 m board that a beginner wires in an evening."""
    yield Settings(
        title="First board: Tansyford Halt",
        scale="OO",
        test_train_a=0.5,
        notes="A board to learn on: one railcar, two pieces of track, three drops.",
    )
    yield Board(
        id=PartId("BD1"),
        name="Tansyford",
        x_mm=0.0,
        y_mm=0.0,
        width_mm=1200.0,
        depth_mm=600.0,
    )
    for i, x in enumerate((200.0, 600.0, 1000.0), start=1):
        yield Joist(id=PartId(f"JS{i}"), x1_mm=x, y1_mm=0.0, x2_mm=x, y2_mm=600.0)
    yield from (MAIN, BOOSTER, BUS)
    for number, position_m in enumerate(HOLES_M, start=1):
        yield hang(number, MAIN, position_m, (BUS,), "left")
    yield Load(
        id=PartId("L1"),
        name="Railcar",
        on=OnRun(run=MAIN.id, position_m=0.9),
        amps_a=0.4,
        length_m=0.25,
    )
