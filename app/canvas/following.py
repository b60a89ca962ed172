"""From a finding's trail to lines on the plan."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import hypot

import numpy as np

from app.canvas.drawings.drawing import Drawing
from app.canvas.drawings.make import Surroundings, make_drawing
from app.canvas.lines.stations import stations_of
from app.canvas.over.trail import Shown
from core.analysis.poles import PolePlan
from core.checks.trail import Spot, Trail
from core.layout.geometry import Pose, bus_path, run_path
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Crossing,
    Drop,
    Inline,
    OnRun,
    RunEnd,
    Strip,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import anchor, drop_lead_m, place_xy
from core.network.ways import Step

XY = tuple[float, float]

_ASIDE = {"A": 1.0, "B": 1.0}
"""Which wires lie on the left of the way: out and back then lie side by side."""

FINE_MM = 1.0
"""How far the trail may stray from an arc. [mm]"""


def follow(
    layout: Layout, trail: Trail, around: Surroundings, poles: PolePlan | None
) -> Shown:
    """Return a trail as it is drawn: its line, its sign, and what is not there yet."""
    points = _lined_up(
        [_points(layout, step, around.gauge_mm) for step in trail.steps],
        [_ASIDE.get(step.wire, 0.0) for step in trail.steps],
    )
    hops = "1 hop" if trail.hops == 1 else f"{trail.hops} hops"
    met = _met(trail, poles) or trail.meets
    return Shown(
        points=points,
        meets=_place(layout, met) if met is not None else None,
        word=f"{trail.word} · {hops}",
        ends=("A", "B") if trail.poles else ("", ""),
        cuts=tuple(_cuts(layout, trail)),
        ghosts=tuple(_ghosts(layout, trail, around)),
    )


def _lined_up(
    steps: list[list[XY]], asides: list[float]
) -> tuple[tuple[float, float, float, float], ...]:
    """Return the points of all steps, each with how it lies beside its wire.

    The third and fourth figures are a vector across the wire, as long as 1 where two
    conductors are drawn as one line, so that out and back do not fall together.
    """
    found: list[tuple[float, float, float, float]] = []
    for points, aside in zip(steps, asides, strict=True):
        for i, (x, y) in enumerate(points):
            here, there = points[max(i - 1, 0)], points[min(i + 1, len(points) - 1)]
            dx, dy = there[0] - here[0], there[1] - here[1]
            length = hypot(dx, dy) or 1.0
            row = (x, y, -aside * dy / length, aside * dx / length)
            if not found or found[-1] != row:
                found.append(row)
    return tuple(found)


def _cuts(layout: Layout, trail: Trail) -> Iterator[tuple[Pose, str]]:
    """Yield where both rails would be cut."""
    for place in trail.cuts:
        run = layout.get(place.run, TrackRun)
        if run is not None:
            yield run_path(run).at(place.position_m), "cut here"


def _ghosts(layout: Layout, trail: Trail, around: Surroundings) -> Iterator[Drawing]:
    """Yield the turnouts as they lie for it, where they lie otherwise now."""
    lie = replace(around, thrown=frozenset(trail.thrown))
    for part_id in trail.to_throw(around.thrown):
        part = layout.parts.get(part_id)
        drawing = make_drawing(layout, part, lie) if part is not None else None
        if drawing is not None:
            yield drawing


def _met(trail: Trail, poles: PolePlan | None) -> Spot | None:
    """Return where the rails of a closed way truly go over from pole to pole."""
    if not trail.closed or poles is None or trail.word != "left meets right":
        return None
    for place in poles.meets:
        for step in trail.steps:
            low, high = sorted((step.start_m, step.end_m))
            if step.part == place.run and low <= place.position_m <= high:
                return place.run, place.position_m
    return None


def _points(layout: Layout, step: Step, gauge_mm: float) -> list[XY]:
    """Return a step's points in plan. [mm]"""
    part = layout.parts.get(step.part)
    match part:
        case TrackRun():
            side = {"left": 0.5, "right": -0.5}.get(step.wire, 0.0)
            return _along_run(part, step, side * gauge_mm)
        case Bus():
            return _along_bus(part, step)
        case Drop():
            ends = [_place(layout, (part.id, 0.0)), place_xy(layout, part.on)]
            found = [end for end in ends if end is not None]
            return found if step.start_m <= step.end_m else found[::-1]
        case _:
            place = _place(layout, (step.part, step.start_m))
            return [place] if place is not None else []


def _along_run(run: TrackRun, step: Step, aside_mm: float) -> list[XY]:
    stations = stations_of(run, FINE_MM)
    low, high = sorted((step.start_m, step.end_m))
    inner = stations.s_m[(stations.s_m > low) & (stations.s_m < high)]
    places = stations.at(np.array((low, *inner, high))).aside(aside_mm)
    points: list[XY] = [(x, y) for x, y in places.tolist()]
    return points if step.start_m <= step.end_m else points[::-1]


def _along_bus(bus: Bus, step: Step) -> list[XY]:
    path, gone = bus_path(bus), 0.0
    corners: list[float] = []
    for here, there in pairwise(bus.points):
        gone += hypot(there.x_mm - here.x_mm, there.y_mm - here.y_mm) / 1000.0
        corners.append(gone)
    low, high = sorted((step.start_m, step.end_m))
    poses = [path.at(s) for s in (low, *(c for c in corners if low < c < high), high)]
    points = [(pose.x_mm, pose.y_mm) for pose in poses]
    return points if step.start_m <= step.end_m else points[::-1]


def _place(layout: Layout, spot: Spot) -> XY | None:
    """Return a place on a part in plan. [mm]"""
    part, position_m = layout.parts.get(spot[0]), spot[1]
    match part:
        case TrackRun():
            return place_xy(layout, OnRun(run=part.id, position_m=position_m))
        case Bus():
            pose = bus_path(part).at(position_m)
            return pose.x_mm, pose.y_mm
        case Booster() | Inline() | Strip():
            return part.x_mm, part.y_mm
        case Turnout(on=on) | Crossing(a=on):
            return place_xy(layout, on)
        case TrackJoint():
            return place_xy(layout, _end(layout, part.a))
        case Drop():
            return _on_drop(layout, part, position_m)
        case _:
            return None


def _end(layout: Layout, end: RunEnd) -> OnRun:
    run = layout.get(end.run, TrackRun)
    whole = run_path(run).length_m if run is not None else 0.0
    return OnRun(run=end.run, position_m=whole if end.end == "end" else 0.0)


def _on_drop(layout: Layout, drop: Drop, position_m: float) -> XY | None:
    top = place_xy(layout, drop.on)
    foot = anchor(layout, drop.to) if drop.to is not None else None
    if top is None or foot is None:
        return top
    share = min(position_m / max(drop_lead_m(layout, drop), 1e-9), 1.0)
    return foot[0] + share * (top[0] - foot[0]), foot[1] + share * (top[1] - foot[1])
