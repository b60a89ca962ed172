"""Paths in plan: where a position along a run or bus lies, and the way back."""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, ceil, cos, degrees, hypot, pi, radians, sin

import numpy as np
from numpy.typing import NDArray

from core.layout.parts import Arc, Bus, Piece, TrackRun

Floats = NDArray[np.float64]

STRAIGHT_MM = 1e9
"""An arc of a larger radius is a straight, and no record holds it. [mm]"""


@dataclass(frozen=True, slots=True)
class Pose:
    """A place in plan and the direction of travel there. [mm, rad]"""

    x_mm: float
    y_mm: float
    heading: float

    def left(self, offset_mm: float) -> tuple[float, float]:
        """Return the point that far to the left (negative: right). [mm]"""
        return (
            self.x_mm - offset_mm * sin(self.heading),
            self.y_mm + offset_mm * cos(self.heading),
        )

    def reversed(self) -> "Pose":
        """Return the same place, looking the other way."""
        return Pose(self.x_mm, self.y_mm, self.heading + pi)

    def walked(self, length_mm: float, per_mm: float) -> "Pose":
        """Return where one comes who walks on, bending evenly. [mm, 1/mm]"""
        return _Stretch(self, 0.0, length_mm, per_mm).at(length_mm)


@dataclass(frozen=True, slots=True)
class Nearest:
    """The place on a path nearest to a point."""

    position_m: float
    distance_mm: float


@dataclass(frozen=True, slots=True)
class _Stretch:
    """One straight or arc: start pose, length and curvature (1/mm, left > 0)."""

    pose: Pose
    offset_mm: float
    length_mm: float
    curvature: float

    def at(self, s: float) -> Pose:
        x, y, h = self.pose.x_mm, self.pose.y_mm, self.pose.heading
        k = self.curvature
        if k == 0.0:
            return Pose(x + s * cos(h), y + s * sin(h), h)
        turned = h + k * s
        return Pose(
            x + (sin(turned) - sin(h)) / k,
            y - (cos(turned) - cos(h)) / k,
            turned,
        )

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        """Return distance along and distance to the nearest place. [mm, mm]"""
        if self.curvature == 0.0:
            dx, dy = x - self.pose.x_mm, y - self.pose.y_mm
            s = dx * cos(self.pose.heading) + dy * sin(self.pose.heading)
        else:
            s = self._along_arc(x, y)
        s = min(max(s, 0.0), self.length_mm)
        there = self.at(s)
        return s, hypot(there.x_mm - x, there.y_mm - y)

    def _along_arc(self, x: float, y: float) -> float:
        radius = 1.0 / self.curvature
        cx, cy = self.pose.left(radius)
        start = atan2(self.pose.y_mm - cy, self.pose.x_mm - cx)
        turn = 1.0 if radius > 0 else -1.0
        swept = (turn * (atan2(y - cy, x - cx) - start)) % (2 * pi)
        whole = self.length_mm * abs(self.curvature)
        if swept > whole:
            # Outside the arc: whichever end is nearer round the circle.
            swept = whole if swept - whole < 2 * pi - swept else 0.0
        return swept * abs(radius)


class Path:
    """A path in plan, addressed by metres from its start."""

    def __init__(self, stretches: tuple[_Stretch, ...]) -> None:
        assert stretches, "a path has at least one stretch"
        self._stretches = stretches
        self._offsets = [s.offset_mm for s in stretches]
        last = stretches[-1]
        self.length_mm = last.offset_mm + last.length_mm

    @property
    def length_m(self) -> float:
        """Length along the path. [m]"""
        return self.length_mm / 1000.0

    def at(self, position_m: float) -> Pose:
        """Return place and direction at a position (held inside the path)."""
        s = min(max(position_m * 1000.0, 0.0), self.length_mm)
        index = bisect_right(self._offsets, s) - 1
        stretch = self._stretches[max(index, 0)]
        return stretch.at(s - stretch.offset_mm)

    def stretches(self) -> tuple[tuple[float, float, float], ...]:
        """Return where each piece begins, its length and its bend. [mm, mm, 1/mm]

        A positive bend turns left.
        """
        return tuple((s.offset_mm, s.length_mm, s.curvature) for s in self._stretches)

    @property
    def start(self) -> Pose:
        """Place and direction at the start."""
        return self.at(0.0)

    @property
    def end(self) -> Pose:
        """Place and direction at the end."""
        last = self._stretches[-1]
        return last.at(last.length_mm)

    def nearest(self, x_mm: float, y_mm: float) -> Nearest:
        """Return the nearest place to a point."""
        best = Nearest(0.0, float("inf"))
        for stretch in self._stretches:
            s, distance = stretch.nearest(x_mm, y_mm)
            if distance < best.distance_mm:
                best = Nearest((stretch.offset_mm + s) / 1000.0, distance)
        return best

    def line(
        self,
        start_m: float = 0.0,
        end_m: float | None = None,
        *,
        step_mm: float = 25.0,
        offset_mm: float = 0.0,
    ) -> Floats:
        """Return points along a part of the path.

        Parameters
        ----------
        start_m, end_m : float
            The part wanted; end None means to the end. [m]
        step_mm : float
            Longest step on arcs; straights give only their ends. [mm]
        offset_mm : float
            Shift to the left (negative: right), for one rail. [mm]

        Returns
        -------
        float64 array, shape (N, 2)
            N >= 2 points in plan, in order. [mm]
        """
        low = min(max(start_m * 1000.0, 0.0), self.length_mm)
        high = self.length_mm if end_m is None else min(end_m * 1000.0, self.length_mm)
        stops = self._stops(low, high, step_mm)
        poses = [self.at(s / 1000.0) for s in stops]
        return np.array([p.left(offset_mm) for p in poses], dtype=np.float64)

    def marks(self, *, step_mm: float = 25.0) -> Floats:
        """Return where along the path the points of the whole `line` lie. [m]"""
        return np.array(self._stops(0.0, self.length_mm, step_mm)) / 1000.0

    def _stops(self, low: float, high: float, step_mm: float) -> list[float]:
        stops = [low]
        for stretch in self._stretches:
            first, last = stretch.offset_mm, stretch.offset_mm + stretch.length_mm
            a, b = max(first, low), min(last, high)
            if b <= a:
                continue
            count = 1 if stretch.curvature == 0.0 else ceil((b - a) / step_mm)
            stops.extend(a + (b - a) * (i + 1) / count for i in range(count))
        if len(stops) == 1:
            stops.append(high)
        return stops

    def bounds(self) -> tuple[float, float, float, float]:
        """Return x0, y0, x1, y1 of the box around it. [mm]"""
        points = self.line()
        low, high = points.min(axis=0), points.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


@lru_cache(maxsize=20000)
def run_path(run: TrackRun) -> Path:
    """Return the centre line of a track run."""
    pose = Pose(run.x_mm, run.y_mm, radians(run.heading_deg))
    offset = 0.0
    stretches: list[_Stretch] = []
    for piece in run.pieces:
        stretch = _stretch_of(piece, pose, offset)
        stretches.append(stretch)
        pose = stretch.at(stretch.length_mm)
        offset += stretch.length_mm
    return Path(tuple(stretches))


@lru_cache(maxsize=20000)
def bus_path(bus: Bus) -> Path:
    """Return the drawn path of a bus (without slack and extra length)."""
    offset = 0.0
    stretches: list[_Stretch] = []
    for here, there in zip(bus.points, bus.points[1:], strict=False):
        dx, dy = there.x_mm - here.x_mm, there.y_mm - here.y_mm
        pose = Pose(here.x_mm, here.y_mm, atan2(dy, dx))
        stretches.append(_Stretch(pose, offset, hypot(dx, dy), 0.0))
        offset += hypot(dx, dy)
    return Path(tuple(stretches))


def piece_length_mm(piece: Piece) -> float:
    """Return the length of one piece along its centre line. [mm]"""
    if isinstance(piece, Arc):
        return piece.radius_mm * abs(radians(piece.sweep_deg))
    return piece.length_mm


def arc_to(pose: Pose, x_mm: float, y_mm: float) -> Arc | None:
    """Return the arc that leaves a pose tangentially and ends at a point.

    Returns None where the point lies straight ahead (or at the pose itself):
    there a straight does it; and straight behind, where nothing does. Other
    points behind give arcs of more than half a turn.
    The turn is twice the angle between the heading and the chord.
    """
    dx, dy = x_mm - pose.x_mm, y_mm - pose.y_mm
    ahead = dx * cos(pose.heading) + dy * sin(pose.heading)
    aside = -dx * sin(pose.heading) + dy * cos(pose.heading)
    if abs(aside) < 1e-6 * max(hypot(dx, dy), 1.0):
        return None
    half_turn = atan2(aside, ahead)
    radius = hypot(dx, dy) / (2.0 * abs(sin(half_turn)))
    if radius > STRAIGHT_MM:
        return None
    return Arc(radius_mm=radius, sweep_deg=degrees(2.0 * half_turn))


def _stretch_of(piece: Piece, pose: Pose, offset: float) -> _Stretch:
    length = piece_length_mm(piece)
    if isinstance(piece, Arc):
        sign = 1.0 if piece.sweep_deg > 0 else -1.0
        return _Stretch(pose, offset, length, sign / piece.radius_mm)
    return _Stretch(pose, offset, length, 0.0)
