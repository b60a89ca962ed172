"""What a click of each of the placing tools makes."""

from math import hypot
from typing import Literal

from app.tools.placing.stamp import Recipe
from app.tools.pointer import Pointer
from app.tools.snapping.wish import GRID, TRACK, Wish
from core.layout.change import Change
from core.layout.edits.add import add_booster, add_gap, add_load, add_strip
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import OnRun, Point, TrackRun

ON_TRACK = Wish(kinds=TRACK)
ON_TRACK_OR_JOINT = Wish(kinds=TRACK | {"joint"})


def point_of(at: Pointer) -> Point:
    """Return the snapped place as a point in plan."""
    return Point(x_mm=at.place[0], y_mm=at.place[1])


def _booster(layout: Layout, at: Pointer) -> Change:
    return add_booster(layout, point_of(at))


def _strip(layout: Layout, at: Pointer) -> Change:
    return add_strip(layout, point_of(at))


def _train(layout: Layout, at: Pointer) -> Change | None:
    on = at.snap.on
    if not isinstance(on, OnRun):
        return None
    return add_load(layout, on, use="standing" if at.held.shift else "train")


def _gap(layout: Layout, at: Pointer) -> Change | None:
    on = at.snap.on
    if not isinstance(on, OnRun):
        return None
    return add_gap(layout, on, rails=_rails(layout, on, at))


def _rails(layout: Layout, on: OnRun, at: Pointer) -> Literal["left", "right", "both"]:
    """Return both rails, or with Shift the rail nearer to the pointer."""
    if not at.held.shift:
        return "both"
    pose = run_path(layout.need(on.run, TrackRun)).at(on.position_m)
    (lx, ly), (rx, ry) = pose.left(1.0), pose.left(-1.0)
    is_left = hypot(lx - at.x_mm, ly - at.y_mm) <= hypot(rx - at.x_mm, ry - at.y_mm)
    return "left" if is_left else "right"


BOOSTER = Recipe(
    _booster, "Click where the booster stands. Then draw a bus from it.", GRID
)
STRIP = Recipe(_strip, "Click where the terminal strip is screwed on.", GRID)
TRAIN = Recipe(
    _train,
    "Click on a track to put a train there. Shift: a lamp or other standing load.",
    ON_TRACK,
)
GAP = Recipe(
    _gap,
    "Click on a track to cut both rails. Shift: only the rail nearer to the pointer.",
    ON_TRACK_OR_JOINT,
)
