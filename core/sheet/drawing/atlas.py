"""Where every part lies in plan, worked out once for many drawings."""

from collections.abc import Iterable
from math import hypot

from core.layout.geometry import Pose, bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import edge_lines
from core.layout.parts import (
    Attachment,
    Board,
    Booster,
    Bus,
    Crossing,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    Opening,
    Part,
    Side,
    Strip,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import anchor, place_xy

XY = tuple[float, float]
Region = tuple[float, float, float, float]


class Atlas:
    """The parts of a layout by kind, each with the box that it fills in plan."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self._entries: list[tuple[Part, Region]] = []
        for part in layout.parts.values():
            points = tuple(_points_of(layout, part))
            if points:
                xs, ys = [p[0] for p in points], [p[1] for p in points]
                region = min(xs), min(ys), max(xs), max(ys)
                self._entries.append((part, region))
        self._a_sides = _a_sides(layout)
        self._poses: dict[tuple[PartId, float], list[Pose]] = {}
        self._lines: dict[tuple[PartId, float, float], tuple[XY, ...]] = {}

    def line(
        self, run: TrackRun, *, step_mm: float, offset_mm: float = 0.0
    ) -> tuple[XY, ...]:
        """Return points along a run, or beside it. [mm]

        They are kept for the next drawing, and where they lie for its other rail.
        """
        key = run.id, step_mm, offset_mm
        if key not in self._lines:
            poses = self._poses_of(run, step_mm)
            self._lines[key] = tuple(pose.left(offset_mm) for pose in poses)
        return self._lines[key]

    def _poses_of(self, run: TrackRun, step_mm: float) -> list[Pose]:
        key = run.id, step_mm
        if key not in self._poses:
            path = run_path(run)
            marks = path.marks(step_mm=step_mm).tolist()
            self._poses[key] = [path.at(position_m) for position_m in marks]
        return self._poses[key]

    def near(self, region: Region) -> tuple[Part, ...]:
        """Return the parts whose box meets a region of the plan. [mm]"""
        x0, y0, x1, y1 = region
        return tuple(
            part
            for part, (a0, b0, a1, b1) in self._entries
            if a0 <= x1 and a1 >= x0 and b0 <= y1 and b1 >= y0
        )

    def a_side(self, run: PartId) -> Side | None:
        """Return which rail of a run is A's, if its drops agree."""
        return self._a_sides.get(run)


def _a_sides(layout: Layout) -> dict[PartId, Side]:
    found: dict[PartId, set[Side]] = {}
    for drop in layout.of_kind(Drop):
        found.setdefault(drop.on.run, set()).add(drop.a_rail)
    return {run: next(iter(s)) for run, s in found.items() if len(s) == 1}


def _points_of(layout: Layout, part: Part) -> Iterable[XY]:
    match part:
        case TrackRun():
            yield from _corners(run_path(part).bounds())
        case Bus():
            yield from _corners(bus_path(part).bounds())
        case Board():
            yield part.x_mm, part.y_mm
            yield part.x_mm + part.width_mm, part.y_mm + part.depth_mm
        case Opening():
            yield from _edges_of(layout, part)
        case Joist():
            yield from ((part.x1_mm, part.y1_mm), (part.x2_mm, part.y2_mm))
        case Booster() | Strip() | Inline():
            yield part.x_mm, part.y_mm
            yield from _end_of(layout, part.feed if isinstance(part, Inline) else None)
        case Crossing():
            at = place_xy(layout, part.a)
            yield from [] if at is None or place_xy(layout, part.b) is None else [at]
        case Turntable():
            wide = part.travel_mm if part.form == "traverser" else 0.0
            half = 0.5 * hypot(part.across_mm, wide)
            yield part.x_mm - half, part.y_mm - half
            yield part.x_mm + half, part.y_mm + half
        case Drop() | Gap() | Turnout() | Load():
            at = place_xy(layout, part.on)
            yield from [] if at is None else [at]
            yield from _end_of(layout, part.to if isinstance(part, Drop) else None)
        case _:
            return


def _edges_of(layout: Layout, opening: Opening) -> Iterable[XY]:
    for _, start, end in edge_lines(layout, opening, 0.0):
        yield from (start, end)


def _corners(region: Region) -> tuple[XY, XY]:
    return region[:2], region[2:]


def _end_of(layout: Layout, to: Attachment | None) -> Iterable[XY]:
    end = None if to is None else anchor(layout, to)
    if end is not None:
        yield end
