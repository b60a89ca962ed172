"""Track layer: rails, joints, gaps, turnouts, trains."""

from collections.abc import Iterable
from math import cos, sin

from core.layout.geometry import Pose, run_path
from core.layout.parts import Gap, Load, OnRun, TrackRun, Turnout
from core.layout.queries import joint_positions, run_name
from core.materials.scales import gauge_m
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.pit import draw_pits
from core.sheet.drawing.scene import Scene
from core.sheet.frame import Box
from core.sheet.inks import Stroke
from core.sheet.marks import (
    FAINT,
    INK,
    SOFT,
    TINT,
    WHITE,
    XY,
    Circle,
    Line,
    Mark,
    Shape,
)
from core.sheet.schedules.words import titled

_STEP = 2.5
"""Longest step along an arc: 0.02 mm off at a radius of 40 mm. [mm of paper]"""

_LEAST_GAUGE = 0.75
"""Rails closer than this on paper are drawn as one line. [mm]"""


def draw_tracks(scene: Scene, *, hidden: bool) -> None:
    """Draw all track; `hidden` for a view from below: pale, without its names."""
    draw_pits(scene, hidden=hidden)
    for run in scene.parts(TrackRun):
        _draw_bed(scene, run, weight=0.15 if hidden else 3.0)
    for run in scene.parts(TrackRun):
        _draw_rails(scene, run, hidden=hidden)
        if not hidden and not scene.sketch:
            _draw_joints(scene, run)
        if not scene.sketch:
            _label_run(scene, run, hidden=hidden)


def draw_track_marks(scene: Scene) -> None:
    """Draw gaps, turnouts and trains with their ids."""
    for gap in scene.parts(Gap):
        _draw_gap(scene, gap)
    for turnout in scene.parts(Turnout):
        _draw_turnout(scene, turnout)
    for load in scene.parts(Load):
        if load.active:
            _draw_load(scene, load)


def half_gauge(scene: Scene) -> float:
    """Return half the gauge as it is drawn; 0 for one line. [mm of paper]"""
    gauge = gauge_m(scene.layout.settings.scale) * 1000.0 / scene.view.scale
    return gauge / 2.0 if gauge >= _LEAST_GAUGE else 0.0


def pose_of(scene: Scene, place: OnRun) -> Pose:
    """Return place and direction on a run; the atlas knows no part without one."""
    return run_path(scene.layout.need(place.run, TrackRun)).at(place.position_m)


def _line_of(scene: Scene, run: TrackRun, offset_mm: float = 0.0) -> tuple[XY, ...]:
    step = _STEP * scene.view.scale
    points = scene.atlas.line(run, step_mm=step, offset_mm=offset_mm)
    return tuple(scene.view.at(x, y) for x, y in points)


def _draw_bed(scene: Scene, run: TrackRun, weight: float) -> None:
    width = max(4.0 * half_gauge(scene), 1.5)
    scene.line(_line_of(scene, run), width, TINT, weight=weight)


def _draw_rails(scene: Scene, run: TrackRun, *, hidden: bool) -> None:
    half = half_gauge(scene)
    if half == 0.0:
        scene.line(_line_of(scene, run), 0.5, FAINT if hidden else INK)
        return
    a_side = None if hidden else scene.atlas.a_side(run.id)
    plain = Stroke("", "", FAINT if hidden else SOFT, (), "")
    a, b = scene.strokes.a, scene.strokes.b
    left, right = {"left": (a, b), "right": (b, a), None: (plain, plain)}[a_side]
    for stroke, sign in ((left, 1.0), (right, -1.0)):
        points = _line_of(scene, run, sign * half * scene.view.scale)
        width = 0.3 if a_side is None else 0.5
        scene.line(points, width, stroke.ink, stroke.dash)


def _draw_joints(scene: Scene, run: TrackRun) -> None:
    if run.piece_length_m * 1000.0 / scene.view.scale < 12.0:
        return
    path = run_path(run)
    reach = (half_gauge(scene) + 0.9) * scene.view.scale
    for position in joint_positions(run):
        pose = path.at(position)
        ends = scene.view.at(*pose.left(reach)), scene.view.at(*pose.left(-reach))
        scene.line(ends, 0.3, SOFT)


def _label_run(scene: Scene, run: TrackRun, *, hidden: bool) -> None:
    """Name a run near its middle, or wherever else the window shows it."""
    path = run_path(run)
    words = (Words(run_name(scene.layout, run.id), 8.5, ink=SOFT),)
    for share in (0.5, 0.25, 0.75, 0.1, 0.9):
        pose = path.at(share * path.length_m)
        if scene.view.shows(pose.x_mm, pose.y_mm):
            at = scene.view.at(pose.x_mm, pose.y_mm)
            scene.label(9 if hidden else 5, at, words, 1.0)
            return


def _draw_gap(scene: Scene, gap: Gap) -> None:
    pose = pose_of(scene, gap.on)
    half = half_gauge(scene)
    sides = {"both": (1.0, -1.0), "left": (1.0,), "right": (-1.0,)}[gap.rails]
    x, y = scene.view.at(pose.x_mm, pose.y_mm)
    along = scene.view.direction(cos(pose.heading), sin(pose.heading))
    aside = scene.view.direction(-sin(pose.heading), cos(pose.heading))
    marks: list[Mark] = []
    for sign in sides:
        middle = (x + sign * half * aside[0], y + sign * half * aside[1])
        marks += _slot(middle, along, aside, metal=gap.bridged)
    scene.symbol(marks, Box(x - 1.2, y - 1.2, x + 1.2, y + 1.2))
    rails = "" if gap.rails == "both" else " one rail"
    rails += " METAL" if gap.bridged else ""
    scene.label(4, (x, y), (Words(f"{gap.id}{rails}", 8.5, bold=True),), 1.4)


def _slot(middle: XY, along: XY, aside: XY, *, metal: bool) -> Iterable[Mark]:
    """Yield a slot in a rail; metal in it leaves the rail whole, struck through."""

    def at(s: float, n: float) -> XY:
        return (
            middle[0] + s * along[0] + n * aside[0],
            middle[1] + s * along[1] + n * aside[1],
        )

    if not metal:
        corners = at(-0.5, -0.5), at(0.5, -0.5), at(0.5, 0.5), at(-0.5, 0.5)
        yield Shape(corners, WHITE)
    else:
        yield Line((at(-1.1, -0.9), at(1.1, 0.9)), 0.35)
        yield Line((at(-1.1, 0.9), at(1.1, -0.9)), 0.35)
    yield Line((at(-0.5, -0.7), at(-0.5, 0.7)), 0.35)
    yield Line((at(0.5, -0.7), at(0.5, 0.7)), 0.35)


def _draw_turnout(scene: Scene, turnout: Turnout) -> None:
    pose = pose_of(scene, turnout.on)
    x, y = scene.view.at(pose.x_mm, pose.y_mm)
    ways = 1.0 if turnout.opens == "forward" else -1.0
    ax, ay = scene.view.direction(ways * cos(pose.heading), ways * sin(pose.heading))
    tip = (x + 1.8 * ax, y + 1.8 * ay)
    foot = (x - 1.2 * ay, y + 1.2 * ax), (x + 1.2 * ay, y - 1.2 * ax)
    scene.symbol([Shape((tip, *foot), INK)], Box(x - 1.5, y - 1.5, x + 1.5, y + 1.5))
    words = Words(titled(turnout.id, turnout.name), 8.5)
    scene.label(4, (x, y), (words,), 2.0)


def _draw_load(scene: Scene, load: Load) -> None:
    pose = pose_of(scene, load.on)
    x, y = scene.view.at(pose.x_mm, pose.y_mm)
    marks: list[Mark] = [
        Circle(x, y, 1.5, WHITE, INK, 0.3),
        Circle(x, y, 0.6, INK, INK, 0.0),
    ]
    scene.symbol(marks, Box(x - 1.5, y - 1.5, x + 1.5, y + 1.5))
    draws = f"{load.watts_w:g} W" if load.watts_w else f"{load.amps_a:g} A"
    words = Words(f"{titled(load.id, load.name)}, {draws}", 8.5, ink=SOFT)
    scene.label(6, (x, y), (words,), 1.8)
