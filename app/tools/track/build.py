"""The change that makes a drawn trail into track, with its joints and turnouts."""

from math import degrees

from app.tools.steps import Step, added, chain
from app.tools.track.trail import Ending, Trail
from core.layout.change import Change
from core.layout.edits.add import add_run
from core.layout.edits.join import join_run_ends, make_turnout
from core.layout.edits.set import set_fields
from core.layout.edits.shape import extend_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import End, OnRun, Point, RunEnd, TrackRun
from core.layout.queries import level_mm_at


def build_run(layout: Layout, trail: Trail, ending: Ending | None) -> Change:
    """Return the change that lays the track of a trail.

    A trail that goes on from a run's end makes that run longer, unless that climbs;
    any other is a new run. What it leaves or meets on the way becomes a joint or a
    turnout.
    """
    on = trail.begin.on
    steps: list[Step] = []
    if isinstance(on, RunEnd) and not _climbs(layout, on):
        base = extend_run(layout, on.run, trail.pieces, at=on.end)
        run, new_end = on.run, on.end
    else:
        pose = trail.begin.pose
        start = Point(x_mm=pose.x_mm, y_mm=pose.y_mm)
        base = add_run(layout, start, degrees(pose.heading) % 360.0, trail.pieces)
        (run,), new_end = added(base), _END
    steps.append(lambda _: base)
    if isinstance(on, RunEnd) and run != on.run:
        steps += _from_climb(layout, on, run)
    if isinstance(on, OnRun):
        leg = RunEnd(run=run, end="start")
        steps.append(lambda trial: make_turnout(trial, on, leg))
    if ending is not None and ending.on != "pit":
        steps.append(_meeting(run, new_end, ending))
    return chain(layout, base.label, *steps)


_END: End = "end"


def _climbs(layout: Layout, end: RunEnd) -> bool:
    return layout.need(end.run, TrackRun).level_end_mm is not None


def _from_climb(layout: Layout, end: RunEnd, run: PartId) -> list[Step]:
    """Return what joins a new run to a climbing one, at the height of its end.

    Made longer itself, the climbing run would change its grade.
    """
    climbing = layout.need(end.run, TrackRun)
    level = level_mm_at(climbing, 0.0 if end.end == "start" else float("inf"))
    here = RunEnd(run=run, end="start")
    return [
        lambda trial: set_fields(trial, frozenset((run,)), level_mm=level),
        lambda trial: join_run_ends(trial, end, here),
    ]


def _meeting(run: PartId, new_end: End, ending: Ending) -> Step:
    here, on = RunEnd(run=run, end=new_end), ending.on
    if isinstance(on, OnRun):
        return lambda trial: make_turnout(trial, on, here)
    if isinstance(on, RunEnd):
        return lambda trial: join_run_ends(trial, here, on)
    own = RunEnd(run=run, end="start" if new_end == "end" else "end")
    return lambda trial: join_run_ends(trial, here, own)
