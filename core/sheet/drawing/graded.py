"""Track drawn by how good it is: by weight and line first, by colour second."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.analysis.grades import Stops, Stretch, grade_stretches
from core.analysis.study import TrackValues, Verdict
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import TrackRun
from core.sheet.drawing.inkmap import HEAVY
from core.sheet.drawing.scene import Scene
from core.sheet.marks import FAINT, WHITE, XY, Line, Mark

_STEP = 2.5
"""Longest step along an arc. [mm of paper]"""


@dataclass(frozen=True, slots=True)
class Pen:
    """How track of one grade is drawn: a line, and where wanted one inside it. [mm]"""

    width: float
    ink: str
    dash: tuple[float, ...] = ()
    core: float = 0.0
    core_dash: tuple[float, ...] = ()

    def lines(self, points: tuple[XY, ...]) -> Iterable[Line]:
        """Yield the lines of it."""
        yield Line(points, self.width, self.ink, self.dash)
        if self.core:
            yield Line(points, self.core, WHITE, self.core_dash)


PENS: dict[Verdict, Pen] = {
    "good": Pen(0.8, "#2c7a6c"),
    "tolerable": Pen(1.7, "#9a6a12", (), 0.7),
    "poor": Pen(2.4, "#9a1b3c", (), 1.2, (0.8, 0.8)),
    "dead": Pen(0.6, FAINT, (1.2, 1.0)),
}
"""Thin, hollow, heavy with a ladder of white, dotted: told apart without colour."""


def draw_graded(
    scene: Scene, along: dict[PartId, TrackValues], stops: Stops
) -> frozenset[Verdict]:
    """Draw all track by its grade, the worst on top; return which grades there are."""
    found = [
        (run, stretch)
        for run in scene.parts(TrackRun)
        for stretch in _stretches(run, along, stops)
    ]
    for grade in ("dead", "good", "tolerable", "poor"):
        for run, stretch in found:
            if stretch.grade == grade:
                _draw(scene, run, stretch)
    return frozenset(stretch.grade for _, stretch in found)


def _stretches(
    run: TrackRun, along: dict[PartId, TrackValues], stops: Stops
) -> tuple[Stretch, ...]:
    known = grade_stretches(along[run.id], stops) if run.id in along else ()
    return known or (Stretch(0.0, run_path(run).length_m, "dead"),)


def _draw(scene: Scene, run: TrackRun, stretch: Stretch) -> None:
    step = _STEP * scene.view.scale
    line = run_path(run).line(stretch.start_m, stretch.end_m, step_mm=step)
    points = tuple(scene.view.at(float(x), float(y)) for x, y in line)
    for mark in PENS[stretch.grade].lines(points):
        scene.line(mark.points, mark.width, mark.ink, mark.dash, weight=HEAVY / 4.0)


def sample(grade: Verdict, x: float, y: float, length: float) -> tuple[Mark, ...]:
    """Return a sample of track of one grade, from x to the right. [mm]"""
    return tuple(PENS[grade].lines(((x, y), (x + length, y))))
