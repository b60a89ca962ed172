"""Turntables and traversers in plan: stalls, where they lie, how the bridge meets them.

Angles are of plan, counter-clockwise from the x axis, seen from the pit's middle.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, pi, radians, sin

from core.layout.geometry import Pose, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    End,
    RunEnd,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import bridge_ends, free_ends

FACE_MM = 10.0
"""Run ends this near to the pit's edge count as at it (house choice). [mm]"""

FACE_RAD = radians(5.0)
"""Run ends that miss the bridge's line by less face it (house choice). [rad]"""

NEAR_MM = 60.0
"""Free run ends this near to the pit's edge are meant for it (house choice). [mm]"""

NEAR_RAD = radians(15.0)
"""And those that miss the bridge's line by less (house choice). [rad]"""

STANDS_MM = 2.0
"""A bridge whose end is this near to a stall's line stands at it. [mm]"""

_DECIMALS = 6
"""Angles are rounded to so many places before they are told apart. [1]"""


@dataclass(frozen=True, slots=True)
class Position:
    """One way for the bridge to stand at a stall.

    Attributes
    ----------
    number : int
        Of the stall, from 1.
    stall : RunEnd
        The run end there.
    by : End
        The end of the bridge that is at it.
    angle_deg : float
        Where the stall lies, 0 to 360; for a traverser the way the bridge looks. [°]
    crossed : bool
        Whether the bridge's left rail meets the stall's right one.
    swapped : bool
        Whether the ring has changed the bridge's poles over, as against now.
    """

    number: int
    stall: RunEnd
    by: End
    angle_deg: float
    crossed: bool
    swapped: bool


@dataclass(frozen=True, slots=True)
class Aim:
    """How a run end lies to a pit.

    Attributes
    ----------
    off_mm : float
        From the pit's edge to it; less than 0 inside the pit. [mm]
    turned_rad : float
        How far it points past the line of the bridge, 0 to π. [rad]
    """

    off_mm: float
    turned_rad: float

    @property
    def is_true(self) -> bool:
        """Whether it is a stall."""
        return abs(self.off_mm) <= FACE_MM and self.turned_rad <= FACE_RAD

    @property
    def is_near(self) -> bool:
        """Whether it is one, or looks as if it were meant to be."""
        return abs(self.off_mm) <= NEAR_MM and self.turned_rad <= NEAR_RAD


def out_pose(layout: Layout, end: RunEnd) -> Pose | None:
    """Return the place of a run end, looking out of the run; None without the run."""
    run = layout.get(end.run, TrackRun)
    if run is None:
        return None
    path = run_path(run)
    return path.end if end.end == "end" else path.start.reversed()


def bridge_middle(layout: Layout, table: Turntable) -> Pose | None:
    """Return the middle of the bridge and the way it lies; None without the run."""
    run = layout.get(table.bridge, TrackRun)
    if run is None:
        return None
    path = run_path(run)
    start, end = path.start, path.end
    x, y = 0.5 * (start.x_mm + end.x_mm), 0.5 * (start.y_mm + end.y_mm)
    return Pose(x, y, start.heading)


def faces_pit(layout: Layout, table: Turntable, end: RunEnd) -> bool:
    """Return whether a run ends at the pit's edge, in line with a place of the bridge.

    A turntable's stalls point at its middle; a traverser's lie along its bridge.
    """
    aim = aim_of(layout, table, end)
    return aim is not None and aim.is_true


def aim_of(layout: Layout, table: Turntable, end: RunEnd) -> Aim | None:
    """Return how a run end lies to a pit; None for one that nothing can stand at."""
    pose = out_pose(layout, end)
    if pose is None or end.run == table.bridge:
        return None
    dx, dy = pose.x_mm - table.x_mm, pose.y_mm - table.y_mm
    half = 0.5 * table.across_mm
    if table.form == "turntable":
        return Aim(hypot(dx, dy) - half, _apart(pose.heading, atan2(-dy, -dx)))
    middle = bridge_middle(layout, table)
    if middle is None:
        return None
    ahead = dx * cos(middle.heading) + dy * sin(middle.heading)
    aside = -dx * sin(middle.heading) + dy * cos(middle.heading)
    if abs(aside) > 0.5 * table.travel_mm:
        return None
    inwards = middle.heading + (pi if ahead > 0.0 else 0.0)
    return Aim(abs(ahead) - half, _apart(pose.heading, inwards))


def near_misses(layout: Layout) -> Iterator[tuple[Turntable, RunEnd, Aim]]:
    """Yield the free run ends that look as if they were stalls, and are none.

    They end a little before a pit or inside it, or point a little past its middle.
    """
    tables = list(layout.of_kind(Turntable))
    if not tables:
        return
    ends = free_ends(layout)
    for table in tables:
        for end in ends:
            aim = aim_of(layout, table, end)
            if aim is not None and aim.is_near:
                yield table, end, aim


def find_stalls(layout: Layout, table: Turntable) -> tuple[RunEnd, ...]:
    """Return the run ends that face a pit and that nothing else holds.

    Those it had keep their order; new ones come after them, counter-clockwise.
    """
    held = {end for j in layout.of_kind(TrackJoint) for end in (j.a, j.b)}
    held |= {turnout.leg for turnout in layout.of_kind(Turnout)}
    for other in layout.of_kind(Turntable):
        held.update(bridge_ends(other))
        if other.id != table.id:
            held.update(other.stalls)
    reach = hypot(table.across_mm, table.travel_mm) + FACE_MM
    facing = [
        end
        for end in _ends_near(layout, table, reach)
        if end not in held and faces_pit(layout, table, end)
    ]
    kept = [end for end in table.stalls if end in facing]
    new = [end for end in facing if end not in kept]
    new.sort(key=lambda end: _bearing(layout, table, end))
    return (*kept, *new)


def stall_deg(layout: Layout, table: Turntable, end: RunEnd) -> float | None:
    """Return where a stall lies, 0 to 360; a traverser's: which way out. [°]"""
    pose = out_pose(layout, end)
    if pose is None:
        return None
    if table.form == "traverser":
        return _whole_turn(degrees(pose.heading) + 180.0)
    return _bearing(layout, table, end)


def swap_line_deg(table: Turntable) -> float:
    """Return the line, 0 to 180, on which the bridge lies as its poles change. [°]

    Pick-ups at the sides stand across the bridge, and pass the cuts a quarter turn
    later than those at its ends.
    """
    across = table.ring == "split" and table.pickups == "sides"
    return round(table.split_deg - (90.0 if across else 0.0), _DECIMALS) % 180.0


def half_of(table: Turntable, heading_deg: float) -> bool:
    """Return on which side of the swap line the bridge's end points."""
    return _whole_turn(heading_deg - swap_line_deg(table)) < 180.0


def off_swap_line_deg(table: Turntable, angle_deg: float) -> float:
    """Return how far a bearing is from the swap line, 0 to 90. [°]"""
    apart = (angle_deg - swap_line_deg(table)) % 180.0
    return min(apart, 180.0 - apart)


def is_swapping(table: Turntable) -> bool:
    """Return whether a ring changes the bridge's poles over by itself."""
    return table.form == "turntable" and table.ring == "split"


def turns_round(table: Turntable) -> bool:
    """Return whether the bridge can come to one stall with either end."""
    return table.form == "turntable" and not table.stops


def positions(layout: Layout, table: Turntable) -> Iterator[Position]:
    """Yield every way in which the bridge can stand at a stall."""
    middle = bridge_middle(layout, table)
    if middle is None:
        return
    now = half_of(table, degrees(middle.heading))
    for number, stall in enumerate(table.stalls, start=1):
        angle = stall_deg(layout, table, stall)
        if angle is None:
            continue
        for by, heading in (("end", angle), ("start", angle + 180.0)):
            if table.form == "traverser":
                if _apart(radians(heading), middle.heading) > 0.5 * pi:
                    continue
                moved = False
            else:
                moved = half_of(table, heading) != now
                if moved and table.stops:
                    continue
            yield Position(
                number,
                stall,
                "end" if by == "end" else "start",
                angle,
                crossed=by == stall.end,
                swapped=moved and is_swapping(table),
            )


def standing_at(layout: Layout, table: Turntable) -> tuple[Position, ...]:
    """Return where the bridge stands now: none, one, or a stall at each end."""
    found: list[Position] = []
    for position in positions(layout, table):
        stall = out_pose(layout, position.stall)
        bridge = out_pose(layout, RunEnd(run=table.bridge, end=position.by))
        if stall is None or bridge is None or position.swapped:
            continue
        apart = hypot(stall.x_mm - bridge.x_mm, stall.y_mm - bridge.y_mm)
        aside = apart * abs(sin(_bearing_of(bridge, stall) - bridge.heading))
        if apart <= 2.0 * FACE_MM and aside <= STANDS_MM:
            found.append(position)
    return tuple(found)


def tables_at(layout: Layout, run: PartId) -> tuple[Turntable, ...]:
    """Return the turntables that a run is a stall of."""
    return tuple(
        table
        for table in layout.of_kind(Turntable)
        if any(end.run == run for end in table.stalls)
    )


def _ends_near(layout: Layout, table: Turntable, reach: float) -> Iterator[RunEnd]:
    for run in layout.of_kind(TrackRun):
        path = run_path(run)
        ends: tuple[tuple[End, Pose], ...] = (("start", path.start), ("end", path.end))
        for end, pose in ends:
            if abs(pose.x_mm - table.x_mm) < reach > abs(pose.y_mm - table.y_mm):
                yield RunEnd(run=run.id, end=end)


def _bearing(layout: Layout, table: Turntable, end: RunEnd) -> float:
    pose = out_pose(layout, end)
    assert pose is not None, "asked of runs that are there"
    return _whole_turn(degrees(atan2(pose.y_mm - table.y_mm, pose.x_mm - table.x_mm)))


def _bearing_of(here: Pose, there: Pose) -> float:
    return atan2(there.y_mm - here.y_mm, there.x_mm - here.x_mm)


def _whole_turn(angle_deg: float) -> float:
    """Return an angle from 0 to 360, a rounding error below 360 being 0. [°]"""
    return round(angle_deg % 360.0, _DECIMALS) % 360.0


def _apart(one: float, other: float) -> float:
    """Return how far two directions differ, 0 to π. [rad]"""
    turned = one - other
    return abs(atan2(sin(turned), cos(turned)))
