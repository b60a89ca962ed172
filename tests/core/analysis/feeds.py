"""Feeds and track for the examples of needs.md, and what their copper is."""

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Probe
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    OnRun,
    Point,
    Straight,
    ToBus,
    ToPort,
    TrackRun,
)

PIECE = 0.914
RAIL, LEAD = 2 * 0.108, 2 * 0.0390
"""Code 83 and 0.5 mm² class 5 (IEC 60228), out and back. [Ω/m]"""

BUS = {"1.5mm2-c5": 2 * 0.0133, "2.5mm2-c5": 2 * 0.00798}
"""IEC 60228 class 5, out and back. [Ω/m]"""

JOINER, SCREW, SOLDERED = 2 * 0.005, 2 * 0.002, 2 * 0.0005
"""House defaults inside the ranges of needs.md 3.3, out and back. [Ω]"""

DROP = SCREW + SOLDERED + 0.3 * LEAD
"""A drop of 0.3 m: a screw below, solder above. [Ω]"""


def supply(inner_ohm: float = 0.15, *, number: int = 1) -> Booster:
    return Booster(id=PartId(f"PB{number}"), x_mm=0.0, y_mm=-500.0, inner_ohm=inner_ohm)


def track(length_m: float, rail: str = "code83-ns", piece_m: float = PIECE) -> TrackRun:
    return TrackRun(
        id=PartId("R1"),
        x_mm=0.0,
        y_mm=0.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=1000.0 * length_m),),
        rail=rail,
        piece_length_m=piece_m,
    )


def bus(number: int, length_m: float, wire_id: str = "1.5mm2-c5") -> Bus:
    """Return a bus from PB1, just as long as its wire."""
    return Bus(
        id=PartId(f"B{number}"),
        points=(Point(x_mm=0.0, y_mm=-500.0), Point(x_mm=1e3 * length_m, y_mm=-500.0)),
        wire=wire_id,
        slack=0.0,
        start=ToPort(part=PartId("PB1")),
    )


def drop(number: int, at_m: float, bus_m: float, on_bus: int = 1) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId("R1"), position_m=at_m),
        to=ToBus(part=PartId(f"B{on_bus}"), position_m=bus_m),
        lead_m=0.3,
    )


def feed(number: int, at_m: float, lead_m: float = 0.3) -> Drop:
    """Return a drop straight from the booster."""
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId("R1"), position_m=at_m),
        to=ToPort(part=PartId("PB1")),
        lead_m=lead_m,
    )


def probed(layout: Layout, at_m: float) -> Probe:
    return probe_place(study_layout(layout), OnRun(run=PartId("R1"), position_m=at_m))
