"""Lift-outs, gates and board joints: where rail ends, and what lies on them."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from math import cos, hypot, sin

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Carried,
    Drop,
    Edge,
    Inline,
    OnRun,
    Opening,
    RunEnd,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import RAIL_END_M, anchor, can_be_thrown, ends_of

_Test = Callable[[float, float], bool]

_TOWARDS: dict[Edge, tuple[float, float]] = {
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
    "front": (0.0, -1.0),
    "back": (0.0, 1.0),
}
"""Where each side lies in plan: x to the right, y away from the viewer."""

SIDES_OPPOSITE: dict[Edge, Edge] = {
    "left": "right",
    "right": "left",
    "front": "back",
    "back": "front",
}
"""The side across."""


@dataclass(frozen=True, slots=True)
class OpeningEdge:
    """A place where both rails of a run end at the edge of an opening.

    `facing` is how one walks the run to leave the section there: 1 to its end.
    """

    run: PartId
    position_m: float
    facing: int

    @property
    def on(self) -> OnRun:
        """The place."""
        return OnRun(run=self.run, position_m=self.position_m)


def edges_of(layout: Layout, opening: Opening) -> tuple[OpeningEdge, ...]:
    """Return the edges of an opening, two for each stretch that runs across it.

    Where a run ends on the section, joined to track that is on it too or to none,
    is no edge. A board joint has two edges at each of its places.
    """
    found: list[OpeningEdge] = []
    for carried in opening.carries:
        run = layout.get(carried.run, TrackRun)
        if run is None:
            continue
        length = run_path(run).length_m
        low, high = min(carried.from_m, length), min(carried.to_m, length)
        if low > RAIL_END_M or _leads_off(layout, opening, run.id, 0.0):
            found.append(OpeningEdge(run.id, low, -1))
        if high < length - RAIL_END_M or _leads_off(layout, opening, run.id, length):
            found.append(OpeningEdge(run.id, high, 1))
    return tuple(found)


def holds(opening: Opening, on: OnRun) -> bool:
    """Return whether a place lies on the section of an opening.

    What stands at the very edge belongs to what comes before it along the run, as
    at a gap.
    """
    return any(_is_on(carried, on) for carried in opening.carries)


def _is_on(carried: Carried, on: OnRun) -> bool:
    low, high = carried.from_m, carried.to_m
    if carried.run != on.run or high - low <= RAIL_END_M:
        return False
    at_start = low <= RAIL_END_M and on.position_m <= RAIL_END_M
    return at_start or low + RAIL_END_M < on.position_m <= high + RAIL_END_M


def cuts_on(layout: Layout, run: PartId) -> Iterator[float]:
    """Yield where both rails of a run end at an edge of an opening. [m]"""
    for opening in layout.of_kind(Opening):
        if any(carried.run == run for carried in opening.carries):
            for edge in edges_of(layout, opening):
                if edge.run == run:
                    yield edge.position_m


def section_drops(layout: Layout, opening: Opening) -> tuple[Drop, ...]:
    """Return the drops of a section: each crosses by a pair of the jumper."""
    return tuple(d for d in layout.of_kind(Drop) if holds(opening, d.on))


def opened_devices(layout: Layout, opened: Collection[PartId]) -> frozenset[PartId]:
    """Return the in-line devices that are open, by hand or with an opening."""
    by_hand = {d.id for d in layout.of_kind(Inline) if not d.closed}
    contacts = (layout.get(i, Opening) for i in opened)
    return frozenset(by_hand | {o.contact for o in contacts if o and o.contact})


def opened_on(
    layout: Layout, opened: frozenset[PartId], ids: Collection[PartId]
) -> frozenset[PartId]:
    """Return what is open after opening or shutting some parts."""
    doors = {
        o.id
        for o in layout.of_kind(Opening)
        if o.id in ids and can_be_thrown(layout, o.id)
    }
    return still_opened(layout, opened ^ doors)


def still_opened(layout: Layout, opened: frozenset[PartId]) -> frozenset[PartId]:
    """Return what is open of those that can be, without what was deleted."""
    return frozenset(
        i
        for i in opened
        if layout.get(i, Opening) is not None and can_be_thrown(layout, i)
    )


def side_of(layout: Layout, opening: Opening, edge: OpeningEdge) -> Edge:
    """Return on which side of the opening an edge lies: the hinge's or the other.

    A stretch that lies square to that direction counts by its nearer end.
    """
    run = layout.need(edge.run, TrackRun)
    here = _along(opening.hinge, *_xy(run, edge.position_m))
    middle = _along(opening.hinge, *middle_xy(layout, opening))
    return opening.hinge if here >= middle else SIDES_OPPOSITE[opening.hinge]


def drop_side(layout: Layout, opening: Opening, drop: Drop) -> Edge | None:
    """Return on which side the wires of a section's drop leave it."""
    below = anchor(layout, drop.to) if drop.to is not None else None
    if below is None:
        return None
    middle = _along(opening.hinge, *middle_xy(layout, opening))
    near = _along(opening.hinge, *below) >= middle - 1e-6
    return opening.hinge if near else SIDES_OPPOSITE[opening.hinge]


def middle_xy(layout: Layout, opening: Opening) -> tuple[float, float]:
    """Return the middle of an opening in plan. [mm]"""
    ends = [
        _xy(run, position)
        for carried in opening.carries
        if (run := layout.get(carried.run, TrackRun)) is not None
        for position in (carried.from_m, carried.to_m)
    ]
    if not ends:
        return 0.0, 0.0
    xs, ys = zip(*ends, strict=True)
    return (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0


def longest_m(opening: Opening) -> float:
    """Return the longest stretch of track that an opening carries. [m]"""
    return max(carried.to_m - carried.from_m for carried in opening.carries)


def carried_in_box(
    layout: Layout, corner: tuple[float, float], other: tuple[float, float]
) -> tuple[Carried, ...]:
    """Return the stretches of all runs inside a rectangle. [mm]"""
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(corner, other, strict=True))
    found: list[Carried] = []
    for run in layout.of_kind(TrackRun):

        def is_inside(x: float, y: float) -> bool:
            return x0 <= x <= x1 and y0 <= y <= y1

        found += _stretches(run, is_inside)
    return tuple(found)


def carried_by_line(
    layout: Layout, start: tuple[float, float], end: tuple[float, float]
) -> tuple[Carried, ...]:
    """Return where a line crosses runs, as stretches of no length. [mm]"""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    if length <= 0.0:
        return ()

    found: list[Carried] = []
    for run in layout.of_kind(TrackRun):

        def is_left(x: float, y: float) -> bool:
            return (x - start[0]) * dy - (y - start[1]) * dx > 0.0

        for stretch in _stretches(run, is_left):
            for place in (stretch.from_m, stretch.to_m):
                if not RAIL_END_M < place < run_path(run).length_m - RAIL_END_M:
                    continue
                x, y = _xy(run, place)
                along = ((x - start[0]) * dx + (y - start[1]) * dy) / length
                if 0.0 <= along <= length:
                    found.append(Carried(run=run.id, from_m=place, to_m=place))
    return tuple(found)


def edge_lines(
    layout: Layout, opening: Opening, beyond_mm: float
) -> tuple[tuple[Edge, tuple[float, float], tuple[float, float]], ...]:
    """Return the lines at which the bench is parted, each with its side. [mm]

    Through the outermost tracks on a side, and beyond them by so much; square to
    the track where there is one only.
    """
    sides: dict[Edge, list[tuple[float, float, float]]] = {}
    for edge in edges_of(layout, opening):
        pose = run_path(layout.need(edge.run, TrackRun)).at(edge.position_m)
        side = side_of(layout, opening, edge)
        sides.setdefault(side, []).append((pose.x_mm, pose.y_mm, pose.heading))
    return tuple(
        (side, *_line_through(places, beyond_mm)) for side, places in sides.items()
    )


def _line_through(
    places: list[tuple[float, float, float]], beyond_mm: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    x, y, heading = places[0]
    across = (-sin(heading), cos(heading))
    marks = [(p[0] - x) * across[0] + (p[1] - y) * across[1] for p in places]
    first, last = places[marks.index(min(marks))], places[marks.index(max(marks))]
    dx, dy = last[0] - first[0], last[1] - first[1]
    length = hypot(dx, dy)
    ux, uy = (dx / length, dy / length) if length > 1.0 else across
    return (
        (first[0] - ux * beyond_mm, first[1] - uy * beyond_mm),
        (last[0] + ux * beyond_mm, last[1] + uy * beyond_mm),
    )


class Sections:
    """The sections of all openings, for questions about many places."""

    def __init__(self, layout: Layout) -> None:
        self._on: dict[PartId, list[tuple[Carried, Opening]]] = {}
        for opening in layout.of_kind(Opening):
            for carried in opening.carries:
                self._on.setdefault(carried.run, []).append((carried, opening))

    def of(self, on: OnRun) -> Opening | None:
        """Return the opening whose section a place lies on."""
        for carried, opening in self._on.get(on.run, ()):
            if _is_on(carried, on):
                return opening
        return None


def _leads_off(
    layout: Layout, opening: Opening, run: PartId, position_m: float
) -> bool:
    """Return whether the end of a run leads to track off the section."""
    here = RunEnd(run=run, end="end" if position_m > 0.0 else "start")
    for link, end in ends_of(layout, run):
        if end != here:
            continue
        if isinstance(link, Turnout):
            return not holds(opening, link.on)
        if isinstance(link, TrackJoint):
            other = link.b if link.a == here else link.a
            far = layout.get(other.run, TrackRun)
            length = run_path(far).length_m if far and other.end == "end" else 0.0
            return not holds(opening, OnRun(run=other.run, position_m=length))
    return False


def _stretches(run: TrackRun, is_inside: _Test) -> list[Carried]:
    """Return the stretches of a run that pass a test of places, to 0.1 mm."""
    path = run_path(run)
    count = max(int(path.length_m / STEP_M), 1)
    places = [path.length_m * i / count for i in range(count + 1)]
    inside = [is_inside(*_xy(run, place)) for place in places]
    found: list[Carried] = []
    begun = places[0] if inside[0] else None
    for i in range(count):
        if inside[i] == inside[i + 1]:
            continue
        turn = _turning(run, (places[i], places[i + 1]), is_inside)
        if begun is None:
            begun = turn
        else:
            found.append(Carried(run=run.id, from_m=begun, to_m=turn))
            begun = None
    if begun is not None:
        found.append(Carried(run=run.id, from_m=begun, to_m=places[-1]))
    return [c for c in found if c.to_m > c.from_m]


STEP_M = 0.02
"""Shorter corners of a track across a box are not seen (house choice). [m]"""


def _turning(run: TrackRun, between: tuple[float, float], is_inside: _Test) -> float:
    low, high = between
    first = is_inside(*_xy(run, low))
    while high - low > 1e-4:
        middle = (low + high) / 2.0
        if is_inside(*_xy(run, middle)) == first:
            low = middle
        else:
            high = middle
    return round((low + high) / 2.0, 3)


def _xy(run: TrackRun, position_m: float) -> tuple[float, float]:
    pose = run_path(run).at(position_m)
    return pose.x_mm, pose.y_mm


def _along(side: Edge, x_mm: float, y_mm: float) -> float:
    ux, uy = _TOWARDS[side]
    return x_mm * ux + y_mm * uy
