"""How a place on a run is told from an end that a builder can find."""

from math import cos, hypot, sin

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Edge, End, OnRun, RunEnd, TrackJoint, TrackRun, Turnout
from core.layout.queries import run_name

_APART = 0.1
"""Ends nearer to each other than this share of the run are not told by where they
lie, as those of an oval (house choice). [1]"""

OPPOSITE: dict[Edge, Edge] = {
    "front": "back",
    "back": "front",
    "left": "right",
    "right": "left",
}


def way_along(run: TrackRun, position_m: float) -> Edge:
    """Return which way in plan a run leads towards its end: towards which edge."""
    heading = run_path(run).at(position_m).heading
    x, y = cos(heading), sin(heading)
    if abs(x) >= abs(y) - 1e-9:
        return "right" if x > 0.0 else "left"
    return "back" if y > 0.0 else "front"


class Ends:
    """Tells of places on the runs of one layout how far they are from which end."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._held: dict[RunEnd, str] = {}
        for joint in layout.of_kind(TrackJoint):
            for end, other in ((joint.a, joint.b), (joint.b, joint.a)):
                self._held[end] = f"joint to {run_name(layout, other.run)}"
        for turnout in layout.of_kind(Turnout):
            self._held[turnout.leg] = f"blades of {turnout.id}"

    def nearest(self, on: OnRun) -> tuple[float, str]:
        """Return how far a place is from the nearer end, and what that is. [m]

        Such as 1.842 and "left end (joint to Helix)".
        """
        run = self._layout.need(on.run, TrackRun)
        length = run_path(run).length_m
        at = min(on.position_m, length)
        if at <= length - at:
            return at, self.name(run.id, "start")
        return length - at, self.name(run.id, "end")

    def name(self, run_id: PartId, which: End) -> str:
        """Return what an end of a run is called."""
        run = self._layout.need(run_id, TrackRun)
        held = self._held.get(RunEnd(run=run_id, end=which))
        words = self._where(run, which)
        return f"{words} ({held})" if held else words

    def _where(self, run: TrackRun, which: End) -> str:
        path = run_path(run)
        dx = path.end.x_mm - path.start.x_mm
        dy = path.end.y_mm - path.start.y_mm
        if hypot(dx, dy) < _APART * path.length_m * 1000.0:
            return which
        if abs(dx) >= abs(dy):
            edge: Edge = "right" if dx > 0.0 else "left"
        else:
            edge = "back" if dy > 0.0 else "front"
        return f"{edge if which == 'end' else OPPOSITE[edge]} end"
