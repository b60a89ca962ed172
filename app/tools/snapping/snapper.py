"""The snap engine: pulls a plan point to what a tool wishes for."""

from math import atan2, cos, degrees, hypot, inf, radians, sin

from app.tools.pointer import Snap, SnapKind
from app.tools.snapping.pits import to_pit
from app.tools.snapping.steps import TIDY_DIGITS, round_step_mm, to_step
from app.tools.snapping.targets import PointTarget, Targets
from app.tools.snapping.wish import Wish
from core.layout.geometry import Pose, bus_path, run_path
from core.layout.layout import Layout
from core.layout.parts import Inline, OnRun, Strip, ToBus, ToPort, ToStrip, TrackRun
from core.layout.queries import anchor, free_way, joint_positions, run_name

POINT_PX = 12.0
"""Ends, ports and strips pull from this far. [px]"""

LINE_PX = 10.0
"""Runs and buses pull from this far. [px]"""

JOINT_PX = 8.0
"""A rail joint pulls along its run from this far. [px]"""

ANGLE_PX = 6.0
"""A round angle pulls from this far. [px]"""

SQUARE_DEG = 90.0
"""Round angles while only along and across are allowed. [°]"""

_RUN: SnapKind = "run"
_JOINT: SnapKind = "joint"


class Snapper:
    """Finds what the pointer is pulled to: points, then lines, angles, the grid."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._targets = Targets(layout)

    def forget(self) -> None:
        """Take note that the layout has changed."""
        self._targets.forget()

    def snap(
        self,
        point: tuple[float, float],
        wish: Wish,
        mm_per_px: float,
        *,
        loose: bool = False,
        square: bool = False,
    ) -> Snap:
        """Return where a point is pulled to.

        Parameters
        ----------
        point : (float, float)
            The real pointer. [mm]
        wish : Wish
            What may pull it.
        mm_per_px : float
            How much plan one pixel covers. [mm]
        loose : bool
            Whether grid, round angles and round positions are off; things of
            the layout pull all the same, since wires must meet them exactly.
        square : bool
            Whether a line being drawn may only go along or across.
        """
        step = 0.0 if loose else round_step_mm(mm_per_px, self._layout.settings.lengths)
        found: Snap | None = None
        if wish.kinds:
            self._targets.refresh()
            found = (
                self._to_point(point, wish, POINT_PX * mm_per_px)
                or self._to_pit(point, wish, mm_per_px, step)
                or self._to_run(point, wish, mm_per_px, step)
                or self._to_bus(point, wish, LINE_PX * mm_per_px, step)
            )
        if found is None and wish.anchor is not None and (square or not loose):
            reach = inf if square else ANGLE_PX * mm_per_px
            step_deg = SQUARE_DEG if square else wish.step_deg
            found = _to_angle(point, wish.anchor, step_deg, reach, step)
        if found is None and wish.grid and not loose:
            x, y = to_step(point[0], step), to_step(point[1], step)
            found = Snap(x, y, "grid")
        return found or Snap(*point)

    def nearest_run(self, point: tuple[float, float], reach_mm: float) -> OnRun | None:
        """Return the place on track nearest to a point, if in reach."""
        self._targets.refresh()
        found = self._targets.runs.near(*point, reach_mm, frozenset())
        if found is None:
            return None
        return OnRun(run=found[0].id, position_m=found[1].position_m)

    def _to_point(
        self, point: tuple[float, float], wish: Wish, reach: float
    ) -> Snap | None:
        for _, target in self._targets.points_near(*point, reach):
            if self._is_wished(target, wish):
                return self._pulled(target)
        return None

    def _pulled(self, target: PointTarget) -> Snap:
        on, place = target.on, (target.x_mm, target.y_mm)
        if isinstance(on, ToStrip):
            strip = self._layout.need(on.part, Strip)
            on = ToStrip(part=strip.id, way=free_way(self._layout, strip) or strip.ways)
            place = anchor(self._layout, on) or place
        return Snap(*place, target.kind, on, target.heading, target.word)

    def _is_wished(self, target: PointTarget, wish: Wish) -> bool:
        if target.kind not in wish.kinds or target.owner in wish.skip:
            return False
        if isinstance(target.on, ToPort) and self._layout.get(target.owner, Inline):
            return target.on.port == wish.port
        return True

    def _to_pit(
        self, point: tuple[float, float], wish: Wish, mm_per_px: float, step: float
    ) -> Snap | None:
        if "pit" not in wish.kinds:
            return None
        pits = self._targets.pits
        return to_pit(self._layout, pits, point, mm_per_px, step_mm=step)

    def _to_run(
        self, point: tuple[float, float], wish: Wish, mm_per_px: float, step: float
    ) -> Snap | None:
        if "run" not in wish.kinds:
            return None
        reach = LINE_PX * mm_per_px
        skip = wish.skip
        if "pit" in wish.kinds:  # track is being drawn: none leaves a bridge
            skip = skip.union(pit.bridge for pit in self._targets.pits)
        found = self._targets.runs.near(*point, reach, skip)
        if found is None:
            return None
        run, place = found
        position, kind = place.position_m, _RUN
        joint = _joint_near(run, position, JOINT_PX * mm_per_px / 1000.0)
        if "joint" in wish.kinds and joint is not None:
            position, kind = joint, _JOINT
        else:
            position = _tidy(position, step, run_path(run).length_m)
        on = OnRun(run=run.id, position_m=position)
        name = run_name(self._layout, run.id)
        word = f"joint of {name}" if kind == _JOINT else f"on {name}"
        return _at(run_path(run).at(position), kind, on, word)

    def _to_bus(
        self, point: tuple[float, float], wish: Wish, reach: float, step: float
    ) -> Snap | None:
        if "bus" not in wish.kinds:
            return None
        found = self._targets.buses.near(*point, reach, wish.skip)
        if found is None:
            return None
        bus, place = found
        position = _tidy(place.position_m, step, bus_path(bus).length_m)
        on = ToBus(part=bus.id, position_m=position)
        return _at(bus_path(bus).at(position), "bus", on, f"on {bus.id}")


def _at(pose: Pose, kind: SnapKind, on: OnRun | ToBus, word: str) -> Snap:
    return Snap(pose.x_mm, pose.y_mm, kind, on, pose.heading, word)


def _tidy(position_m: float, step_mm: float, length_m: float) -> float:
    if step_mm <= 0.0:
        return position_m
    return min(max(to_step(position_m * 1000.0, step_mm) / 1000.0, 0.0), length_m)


def _joint_near(run: TrackRun, position_m: float, reach_m: float) -> float | None:
    near = min(joint_positions(run), key=lambda p: abs(p - position_m), default=None)
    return near if near is not None and abs(near - position_m) <= reach_m else None


def _to_angle(
    point: tuple[float, float],
    anchor: tuple[float, float],
    step_deg: float,
    reach: float,
    step: float,
) -> Snap | None:
    dx, dy = point[0] - anchor[0], point[1] - anchor[1]
    length, heading = hypot(dx, dy), atan2(dy, dx)
    way = radians(to_step(degrees(heading), step_deg))
    if length * abs(sin(heading - way)) > reach:
        return None
    along = length * cos(heading - way)
    if step > 0.0:
        along = to_step(along, step)
    x = round(anchor[0] + along * cos(way), TIDY_DIGITS)
    y = round(anchor[1] + along * sin(way), TIDY_DIGITS)
    return Snap(x, y, "angle", heading=way)
