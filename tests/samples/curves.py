"""Legs of turnouts that swing out and run on beside their track."""

from math import acos, degrees, radians
from typing import Any

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import Arc, Piece, Side, Straight, TrackRun


def swing_deg(shift_mm: float, radius_mm: float) -> float:
    """Return the angle of two curves, out and back, that shift a track. [°]

    Each takes half the shift: R·(1 − cos α) = shift / 2.
    """
    return degrees(acos(1.0 - shift_mm / (2.0 * radius_mm)))


def swing(shift_mm: float, radius_mm: float, side: Side) -> tuple[Arc, Arc]:
    """Return the two curves that shift a track to one side."""
    turn = swing_deg(shift_mm, radius_mm) * (1.0 if side == "left" else -1.0)
    return (
        Arc(radius_mm=radius_mm, sweep_deg=turn),
        Arc(radius_mm=radius_mm, sweep_deg=-turn),
    )


def beside(
    shift_mm: float, radius_mm: float, side: Side, *, length_mm: float
) -> tuple[Piece, ...]:
    """Return the pieces of a track of that length: two curves, then straight."""
    curves = swing(shift_mm, radius_mm, side)
    turned = 2.0 * radius_mm * radians(swing_deg(shift_mm, radius_mm))
    return (*curves, Straight(length_mm=length_mm - turned))


def leg_from(
    run: TrackRun,
    place_m: float,
    part_id: str,
    pieces: tuple[Piece, ...],
    **fields: Any,
) -> TrackRun:
    """Return a run that begins at a place on another and heads the same way."""
    toe = run_path(run).at(place_m)
    return TrackRun(
        id=PartId(part_id),
        x_mm=toe.x_mm,
        y_mm=toe.y_mm,
        heading_deg=degrees(toe.heading),
        pieces=pieces,
        rail=run.rail,
        **fields,
    )
