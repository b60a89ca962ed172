"""Places along a run, close enough that straight lines between them will do."""

from dataclasses import dataclass
from math import cos, radians, sin, sqrt

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF

from core.layout.geometry import piece_length_mm
from core.layout.parts import Arc, TrackRun

Floats = NDArray[np.float64]

STRAIGHT_MM = 100.0
"""Longest step: colours change at such steps. [mm]"""


@dataclass(frozen=True, slots=True)
class Stations:
    """Places along a run, from start to end.

    Attributes
    ----------
    s_m : float64 array, shape (N,)
        Position along the run. [m]
    x_mm, y_mm, heading : float64 arrays, shape (N,)
        Where, and which way. [mm, rad]
    piece : int64 array, shape (N - 1,)
        Equal numbers stand for steps on one straight; steps on arcs differ.
    """

    s_m: Floats
    x_mm: Floats
    y_mm: Floats
    heading: Floats
    piece: NDArray[np.int64]

    def aside(self, offset_mm: float) -> Floats:
        """Return points to the left (negative: right), shape (N, 2). [mm]"""
        return np.column_stack(
            (
                self.x_mm - offset_mm * np.sin(self.heading),
                self.y_mm + offset_mm * np.cos(self.heading),
            )
        )

    def at_point(self, index: int) -> QPointF:
        """Return one of them as a point. [mm]"""
        return QPointF(float(self.x_mm[index]), float(self.y_mm[index]))

    def at(self, s_m: Floats) -> "Stations":
        """Return the stations at other positions, between these. [m]"""
        return Stations(
            s_m,
            np.interp(s_m, self.s_m, self.x_mm),
            np.interp(s_m, self.s_m, self.y_mm),
            np.interp(s_m, self.s_m, self.heading),
            np.arange(max(len(s_m) - 1, 0)),
        )


def stations_of(run: TrackRun, sagitta_mm: float) -> Stations:
    """Return stations along a run.

    Parameters
    ----------
    sagitta_mm : float
        How far a line may stray from an arc, e; steps are then √(8 r e). [mm]
    """
    x, y, heading = run.x_mm, run.y_mm, radians(run.heading_deg)
    travelled = 0.0
    parts: list[Floats] = [np.array([[0.0, x, y, heading]])]
    numbers: list[NDArray[np.int64]] = []
    next_number = 0
    for piece in run.pieces:
        length = piece_length_mm(piece)
        if isinstance(piece, Arc):
            turn = radians(piece.sweep_deg)
            step = min(sqrt(8.0 * piece.radius_mm * sagitta_mm), STRAIGHT_MM)
        else:
            turn, step = 0.0, STRAIGHT_MM
        count = max(int(np.ceil(length / step)), 1)
        t = np.arange(1, count + 1) / count
        points = _along(x, y, heading, turn, length, t)
        parts.append(np.column_stack((travelled + t * length, points)))
        x, y, heading = (float(v) for v in points[-1])
        travelled += length
        same = turn == 0.0
        numbers.append(
            np.full(count, next_number) if same else next_number + np.arange(count)
        )
        next_number += 1 if same else count
    table = np.concatenate(parts)
    return Stations(
        table[:, 0] / 1000.0,
        table[:, 1],
        table[:, 2],
        table[:, 3],
        np.concatenate(numbers),
    )


def _along(
    x: float, y: float, heading: float, turn: float, length: float, t: Floats
) -> Floats:
    """Return x, y and heading at fractions t of a piece, shape (N, 3)."""
    if turn == 0.0:
        return np.column_stack(
            (
                x + t * length * cos(heading),
                y + t * length * sin(heading),
                np.full(len(t), heading),
            )
        )
    radius = length / turn
    turned = heading + t * turn
    return np.column_stack(
        (
            x + radius * (np.sin(turned) - sin(heading)),
            y - radius * (np.cos(turned) - cos(heading)),
            turned,
        )
    )


def ends_between(points: Floats, starts: NDArray[np.int64]) -> Floats:
    """Return lines from each of some points to the next of them, and to the last.

    Rows of x0, y0, x1, y1, shape (N, 4). [mm]
    """
    stops = np.append(starts[1:], len(points) - 1)
    return np.column_stack((points[starts], points[stops]))


def across(stations: Stations, left_mm: float, right_mm: float) -> Floats:
    """Return a line across the track at each station, shape (N, 4). [mm]"""
    return np.column_stack((stations.aside(left_mm), stations.aside(right_mm)))


def merged_starts(*keys: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return where in rows of equal length any of the keys changes."""
    changed = np.zeros(len(keys[0]), bool)
    changed[0] = True
    for key in keys:
        changed[1:] |= key[1:] != key[:-1]
    return np.flatnonzero(changed)
