"""W501: a hole for a drop on or too near a joist."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from math import hypot

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.change import Change
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.openings import cuts_on
from core.layout.parts import Drop, Gap, Joist, OnRun, TrackRun
from core.layout.queries import joint_positions, part_name, place_xy

CLEAR_MM = 15.0
"""From a hole to the side of a joist, at least: room for a drill. [mm]"""

STEP_M = 0.010
"""A hole is moved by whole steps of this. [m]"""

FROM_JOINT_M = 0.030
"""A moved hole stays so far from joints and gaps. [m]"""

CELL_MM = 250.0
"""Cell of the grid in which joists near a hole are looked up. [mm]"""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each hole too near a joist."""
    grid = JoistGrid(study.layout.of_kind(Joist))
    for drop in study.layout.of_kind(Drop):
        hole = place_xy(study.layout, drop.on)
        near = grid.nearest(*hole) if hole is not None else None
        if near is not None and near[0] < CLEAR_MM:
            yield _finding(study.layout, grid, drop, *near)


def _finding(
    layout: Layout, grid: "JoistGrid", drop: Drop, clear: float, joist: Joist
) -> Finding:
    move = _move(layout, grid, drop)
    inside, half = clear < 0.0, joist.width_mm / 2.0
    where = "goes into" if inside else f"is only {clear:.0f} mm from"
    name = part_name(layout, drop.id)
    remedy = "Move it along the track by hand: there is no clear place near by."
    if move is not None:
        remedy = f"Move it {abs(move) * 1000.0:.0f} mm along the track."
    return RULE.finding(
        f"The hole for {name} {where} joist {joist.id}.",
        f"{clear + half:.0f} mm from its middle, less {half:.0f} mm of wood, is "
        f"{clear:.0f} mm < {CLEAR_MM:.0f} mm".replace("-", "−"),
        remedy,
        parts=(drop.id, joist.id),
        place=drop.on,
        severity=RULE.severity if inside else Severity.ADVICE,
        size=1.0 + (CLEAR_MM - clear) / 100.0,
        fix=_fix(layout, drop, move),
    )


def _fix(layout: Layout, drop: Drop, move: float | None) -> Change | None:
    if move is None:
        return None
    there = OnRun(run=drop.on.run, position_m=drop.on.position_m + move)
    return refit(layout, (drop.id,), f"Move {drop.id} off the joist", on=there)


def _move(layout: Layout, grid: "JoistGrid", drop: Drop) -> float | None:
    """Return the least move that clears the hole on the same piece of rail. [m]"""
    run = layout.need(drop.on.run, TrackRun)
    path, here = run_path(run), drop.on.position_m
    low, high = _piece(layout, run, here)
    for step in range(1, int((high - low) / STEP_M) + 1):
        found: list[tuple[float, float]] = []
        for move in (step * STEP_M, -step * STEP_M):
            if low + FROM_JOINT_M <= here + move <= high - FROM_JOINT_M:
                pose = path.at(here + move)
                near = grid.nearest(pose.x_mm, pose.y_mm)
                clear = near[0] if near else float("inf")
                if clear >= CLEAR_MM:
                    found.append((clear, move))
        if found:
            return max(found)[1]
    return None


def _piece(layout: Layout, run: TrackRun, position_m: float) -> tuple[float, float]:
    """Return the piece of rail that a place lies on. [m]"""
    cuts = [g.on.position_m for g in layout.of_kind(Gap) if g.on.run == run.id]
    cuts += cuts_on(layout, run.id)
    stops = [0.0, run_path(run).length_m, *joint_positions(run), *cuts]
    low = max((s for s in stops if s <= position_m), default=0.0)
    high = min((s for s in stops if s > position_m), default=position_m)
    return low, high


class JoistGrid:
    """Joists by cell of the plan, so that those near a hole are found at once."""

    def __init__(self, joists: Iterable[Joist]) -> None:
        self._cells: defaultdict[tuple[int, int], list[Joist]] = defaultdict(list)
        for joist in joists:
            reach = joist.width_mm / 2.0 + CLEAR_MM
            columns = _cells(joist.x1_mm, joist.x2_mm, reach)
            for column in columns:
                for row in _cells(joist.y1_mm, joist.y2_mm, reach):
                    self._cells[column, row].append(joist)

    def nearest(self, x_mm: float, y_mm: float) -> tuple[float, Joist] | None:
        """Return the clear distance to the nearest joist and which it is. [mm]"""
        cell = (int(x_mm // CELL_MM), int(y_mm // CELL_MM))
        clear = [(_clear(j, x_mm, y_mm), j) for j in self._cells.get(cell, ())]
        return min(clear, key=lambda found: found[0], default=None)


def _cells(one: float, other: float, reach: float) -> range:
    low, high = min(one, other) - reach, max(one, other) + reach
    return range(int(low // CELL_MM), int(high // CELL_MM) + 1)


def _clear(joist: Joist, x_mm: float, y_mm: float) -> float:
    """Return the distance from a point to a joist's side; negative inside. [mm]"""
    dx, dy = joist.x2_mm - joist.x1_mm, joist.y2_mm - joist.y1_mm
    square = dx * dx + dy * dy
    along = (x_mm - joist.x1_mm) * dx + (y_mm - joist.y1_mm) * dy
    t = min(max(along / square, 0.0), 1.0) if square else 0.0
    away = hypot(x_mm - joist.x1_mm - t * dx, y_mm - joist.y1_mm - t * dy)
    return away - joist.width_mm / 2.0


RULE = Rule(
    "W501",
    Severity.FAULT,
    "Hole at a joist",
    source="House choice: 15 mm clear for a drill and a hand.",
    check=check,
)
