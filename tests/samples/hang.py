"""Hang a drop on the bus that lies nearest to its hole."""

from collections.abc import Iterable
from math import floor

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import Bus, Drop, OnRun, Side, ToBus, TrackRun


def hang(
    number: int, run: TrackRun, position_m: float, buses: Iterable[Bus], a_rail: Side
) -> Drop:
    """Return a drop of 0.5 mm² wire, tapped to the nearest bus to the millimetre."""
    hole = run_path(run).at(position_m)
    near = [(bus_path(bus).nearest(hole.x_mm, hole.y_mm), bus) for bus in buses]
    place, bus = min(near, key=lambda found: found[0].distance_mm)
    last = floor(1000.0 * bus_path(bus).length_m + 1e-6) / 1000.0
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=run.id, position_m=position_m),
        to=ToBus(part=bus.id, position_m=min(round(place.position_m, 3), last)),
        wire="0.5mm2-c5",
        a_rail=a_rail,
        contact="tap",
    )
