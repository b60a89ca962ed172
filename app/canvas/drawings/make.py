"""The drawing of any part, from the part and what it hangs on."""

from dataclasses import dataclass, field
from typing import Literal

from app.canvas.drawings.bench import BoardDrawing, JoistDrawing
from app.canvas.drawings.bus import BusDrawing
from app.canvas.drawings.crossing import CrossingDrawing
from app.canvas.drawings.device import BoosterDrawing, InlineDrawing
from app.canvas.drawings.drawing import Drawing
from app.canvas.drawings.drop import DropDrawing
from app.canvas.drawings.load import LoadDrawing
from app.canvas.drawings.opening import OpeningDrawing
from app.canvas.drawings.picture import PictureDrawing
from app.canvas.drawings.pit import PitDrawing, PitPlan
from app.canvas.drawings.run import RunDrawing, RunFacts
from app.canvas.drawings.strip import StripDrawing
from app.canvas.drawings.trackside import GapDrawing, JointDrawing
from app.canvas.drawings.turnout import TurnoutDrawing
from app.canvas.lines.rails import a_rails
from core.layout.geometry import Path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
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
    RunEnd,
    Settings,
    Side,
    Strip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import anchor, free_ends, open_ends
from core.layout.roads import set_road, setting_words
from core.layout.turntables import bridge_middle, out_pose
from core.materials.scales import gauge_m
from core.network.crossings import plan_crossing
from core.network.three_way import partner_of

_PLAN_Z: dict[type[Part], float] = {
    Backdrop: 0.0,
    Joist: 5.0,
    Board: 8.0,
    Opening: 9.0,
    Bus: 20.0,
    Turntable: 27.0,
    TrackRun: 30.0,
    Turnout: 31.0,
    Crossing: 31.0,
    TrackJoint: 32.0,
    Gap: 33.0,
    Load: 34.0,
    Drop: 40.0,
    Strip: 45.0,
    Inline: 50.0,
    Booster: 51.0,
}
"""What lies on what, seen from above."""

_WIRING = (Bus, Drop, Strip, Inline, Booster)
FROM_BELOW = 30.0
"""How far the wiring comes up when it is seen from below."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What drawings need to know of the whole layout."""

    gauge_mm: float = 16.5
    a_rails: dict[PartId, Side] = field(default_factory=dict)
    free: frozenset[RunEnd] = frozenset()
    thrown: frozenset[PartId] = frozenset()
    lengths: Literal["m", "ft"] = "m"

    def facts_of(self, run: PartId) -> RunFacts:
        """Return what a run's drawing needs to know."""
        return RunFacts(
            self.gauge_mm,
            self.a_rails.get(run, "left"),
            RunEnd(run=run, end="start") in self.free,
            RunEnd(run=run, end="end") in self.free,
            self.lengths,
        )


def survey(layout: Layout, thrown: frozenset[PartId] = frozenset()) -> Surroundings:
    """Return the surroundings that a layout gives its drawings.

    Parameters
    ----------
    thrown : set of PartId
        How turnouts and crossings are set, see `core.layout.roads`; openings that
        are open.
    """
    return Surroundings(
        1000.0 * gauge_m(layout.settings.scale),
        a_rails(layout),
        frozenset(free_ends(layout)),
        thrown,
        layout.settings.lengths,
    )


def layer_of(part: Part, *, underside: bool) -> float:
    """Return how high a part lies: higher ones cover lower ones."""
    lift = FROM_BELOW if underside and isinstance(part, _WIRING) else 0.0
    return _PLAN_Z[type(part)] + lift


def make_drawing(layout: Layout, part: Part, around: Surroundings) -> Drawing | None:
    """Return the drawing of a part; None for what is not drawn."""
    match part:
        case TrackRun():
            return RunDrawing(part, around.facts_of(part.id))
        case Bus() | Booster() | Inline() | Strip():
            return _power(layout, part)
        case Board() | Joist() | Backdrop():
            return _benchwork(part)
        case Settings():
            return None
        case Turntable():
            return _pit(layout, part, around.gauge_mm)
        case Crossing():
            return _crossing(layout, part, around)
        case Opening():
            return OpeningDrawing(layout, part, is_open=part.id in around.thrown)
        case _:
            return _on_track(layout, part, around)


def _power(layout: Layout, part: Bus | Booster | Inline | Strip) -> Drawing:
    match part:
        case Bus():
            return BusDrawing(part, open_ends(layout)[part.id] if part.snubber else ())
        case Booster():
            return BoosterDrawing(part)
        case Inline():
            feed = anchor(layout, part.feed) if part.feed is not None else None
            return InlineDrawing(part, feed)
        case Strip():
            return StripDrawing(part)


def _benchwork(part: Board | Joist | Backdrop) -> Drawing:
    match part:
        case Board():
            return BoardDrawing(part)
        case Joist():
            return JoistDrawing(part)
        case Backdrop():
            return PictureDrawing(part)


def _pit(layout: Layout, table: Turntable, gauge_mm: float) -> PitDrawing | None:
    middle = bridge_middle(layout, table)
    if middle is None:
        return None
    stalls = tuple(out_pose(layout, end) for end in table.stalls)
    return PitDrawing(PitPlan(table, middle, stalls, gauge_mm))


def _crossing(layout: Layout, part: Crossing, around: Surroundings) -> Drawing | None:
    plan = plan_crossing(layout, part)
    a, b = _path(layout, part.a.run), _path(layout, part.b.run)
    if plan is None or a is None or b is None:
        return None
    road = set_road(part, plan.lie, around.thrown)
    words = setting_words(layout, part.id, around.thrown) if road != "a" else ""
    return CrossingDrawing(plan, (a, b), around.gauge_mm, road=road, words=words)


def _on_track(
    layout: Layout, part: Drop | Gap | Load | TrackJoint | Turnout, around: Surroundings
) -> Drawing | None:
    gauge_mm = around.gauge_mm
    if isinstance(part, TrackJoint):
        path = _path(layout, part.a.run)
        if path is None:
            return None
        pose = path.end if part.a.end == "end" else path.start
        return JointDrawing(part, pose, gauge_mm)
    path = _path(layout, part.on.run)
    if path is None:
        return None
    match part:
        case Drop():
            end = anchor(layout, part.to) if part.to is not None else None
            return DropDrawing(part, path.at(part.on.position_m), end, gauge_mm)
        case Gap():
            return GapDrawing(part, path.at(part.on.position_m), gauge_mm)
        case Load():
            return LoadDrawing(part, path, gauge_mm)
        case Turnout():
            leg = _path(layout, part.leg.run)
            thrown = part.id in around.thrown
            ways = (part, path, leg) if leg is not None else None
            if ways is None:
                return None
            pair = partner_of(layout, part)
            third = pair.third_m if pair and pair.first.id == part.id else None
            return TurnoutDrawing(ways, gauge_mm, thrown=thrown, third_m=third)


def _path(layout: Layout, run: PartId) -> Path | None:
    part = layout.get(run, TrackRun)
    return None if part is None else run_path(part)
