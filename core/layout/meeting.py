"""Where the centre lines of tracks cross in plan."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import cos, hypot, pi, radians, sin

import numpy as np
from numpy.typing import NDArray

from core.layout.geometry import Path, run_path
from core.layout.layout import Layout
from core.layout.lie import turn
from core.layout.parts import OnRun, TrackRun
from core.layout.queries import level_mm_at

LEAST_ANGLE_RAD = radians(5.0)
"""Tracks at a flatter angle run side by side or out of a turnout. [rad]

House choice; the sharpest crossings on sale lie near 10° (common practice, no source).
"""

END_MM = 1.0
"""A track that ends this close to another one does not cross it. [mm]"""

LEVEL_MM = 20.0
"""Tracks further apart in height pass over each other. [mm]

Common practice, no source: under a bridge even the smallest trains need more.
"""

_SAME_MM = 5.0
_SLACK = 0.05
"""So much of a chord beyond its ends counts too: arcs bulge over it. [1]"""

_MOST_PAIRS = 500_000
"""Pairs of chords that are tried at once, to keep memory small. [1]"""

_STEPS = 20
_DONE_MM = 1e-7


@dataclass(frozen=True, slots=True)
class PlanCrossing:
    """A place where two centre lines cross, or one crosses itself.

    Attributes
    ----------
    a, b : OnRun
        The place on either run; on one run the earlier place first.
    x_mm, y_mm : float
        The place in plan. [mm]
    apart_mm : float
        How far the two tracks differ in height. [mm]
    """

    a: OnRun
    b: OnRun
    x_mm: float
    y_mm: float
    apart_mm: float

    @property
    def is_level(self) -> bool:
        """Whether both tracks lie at the same height there."""
        return self.apart_mm <= LEVEL_MM


def find_plan_crossings(
    layout: Layout, about: tuple[float, float, float] | None = None
) -> Iterator[PlanCrossing]:
    """Yield every place where tracks cross in plan, at whatever levels.

    Parameters
    ----------
    about : (float, float, float), optional
        A point and a reach: only tracks that come so near are looked at; what they
        do elsewhere is yielded too. [mm]
    """
    runs = list(layout.of_kind(TrackRun))
    if about is not None:
        runs = [run for run in runs if _comes_near(run, *about)]
    if not runs:
        return
    boxes = np.array([_bounds(run) for run in runs])
    for i, run in enumerate(runs):
        yield from crossings_between(run, run)
        low, high = boxes[i, :2], boxes[i, 2:]
        near = np.all(boxes[i + 1 :, :2] <= high, 1) & np.all(
            boxes[i + 1 :, 2:] >= low, 1
        )
        for j in np.flatnonzero(near).tolist():
            yield from crossings_between(run, runs[i + 1 + j])


@lru_cache(maxsize=20000)
def crossings_between(a: TrackRun, b: TrackRun) -> tuple[PlanCrossing, ...]:
    """Return where two runs cross, in order along `a`; for one run, itself."""
    a_path, b_path = run_path(a), run_path(b)
    found: list[PlanCrossing] = []
    for rough in _rough(a_path, b_path, same=a == b):
        places = _refined(a_path, b_path, rough)
        if places is None or not _is_inside(a_path, b_path, places):
            continue
        pose = a_path.at(places[0])
        if any(hypot(pose.x_mm - f.x_mm, pose.y_mm - f.y_mm) < _SAME_MM for f in found):
            continue
        found.append(
            PlanCrossing(
                OnRun(run=a.id, position_m=places[0]),
                OnRun(run=b.id, position_m=places[1]),
                pose.x_mm,
                pose.y_mm,
                abs(level_mm_at(a, places[0]) - level_mm_at(b, places[1])),
            )
        )
    return tuple(sorted(found, key=lambda f: f.a.position_m))


def _comes_near(run: TrackRun, x_mm: float, y_mm: float, reach_mm: float) -> bool:
    x0, y0, x1, y1 = _bounds(run)
    across = x0 - reach_mm <= x_mm <= x1 + reach_mm
    return across and y0 - reach_mm <= y_mm <= y1 + reach_mm


@lru_cache(maxsize=20000)
def _bounds(run: TrackRun) -> tuple[float, float, float, float]:
    return run_path(run).bounds()


def _rough(a: Path, b: Path, *, same: bool) -> Iterator[tuple[float, float]]:
    """Yield near which places chords of the two paths cross. [m]"""
    marks_a, marks_b = a.marks(), b.marks()
    one, other = a.line(), b.line()
    way, leg = np.diff(one, axis=0), np.diff(other, axis=0)
    rows = max(1, _MOST_PAIRS // len(leg))
    for first in range(0, len(way), rows):
        block = slice(first, first + rows)
        hits = _chord_hits(one[:-1][block], way[block], other[:-1], leg)
        for row, k, t, u in hits:
            i = first + row
            if same and k < i + 2:
                continue  # itself, its neighbour, or seen from the other side
            yield (
                float(marks_a[i] + t * (marks_a[i + 1] - marks_a[i])),
                float(marks_b[k] + u * (marks_b[k + 1] - marks_b[k])),
            )


def _chord_hits(
    start: NDArray[np.float64],
    way: NDArray[np.float64],
    base: NDArray[np.float64],
    leg: NDArray[np.float64],
) -> list[tuple[int, int, float, float]]:
    """Return which chords cross which, and at which fractions of both."""
    across = way[:, :1] * leg[:, 1] - way[:, 1:] * leg[:, 0]
    dx, dy = base[:, 0] - start[:, :1], base[:, 1] - start[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (dx * leg[:, 1] - dy * leg[:, 0]) / across
        u = (dx * way[:, 1:] - dy * way[:, :1]) / across
    inside = (t > -_SLACK) & (t < 1 + _SLACK) & (u > -_SLACK) & (u < 1 + _SLACK)
    return [
        (int(i), int(j), float(t[i, j]), float(u[i, j])) for i, j in np.argwhere(inside)
    ]


def _refined(
    a: Path, b: Path, rough: tuple[float, float]
) -> tuple[float, float] | None:
    """Return the exact places, by following both tangents; None where they miss. [m]"""
    s, r = rough
    for _ in range(_STEPS):
        here, there = a.at(s), b.at(r)
        sine = sin(there.heading - here.heading)
        if abs(sine) < sin(LEAST_ANGLE_RAD):
            return None
        dx, dy = there.x_mm - here.x_mm, there.y_mm - here.y_mm
        if hypot(dx, dy) < _DONE_MM:
            return s, r
        t = (dx * sin(there.heading) - dy * cos(there.heading)) / sine
        u = (dx * sin(here.heading) - dy * cos(here.heading)) / sine
        s = min(max(s + t / 1000.0, 0.0), a.length_m)
        r = min(max(r + u / 1000.0, 0.0), b.length_m)
    return None


def _is_inside(a: Path, b: Path, places: tuple[float, float]) -> bool:
    """Return whether both tracks go on past the place, and do cross there."""
    margin = END_MM / 1000.0
    for path, place in zip((a, b), places, strict=True):
        if not margin < place < path.length_m - margin:
            return False
    turned = abs(turn(a.at(places[0]).heading, b.at(places[1]).heading))
    return LEAST_ANGLE_RAD <= turned <= pi - LEAST_ANGLE_RAD
