"""How far apart drops may stand, and one drop for each piece of rail that has none."""

from collections.abc import Callable
from itertools import pairwise
from math import hypot

from core.layout.change import Change
from core.layout.edits.add import add_drop
from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, OnRun, Strip, ToBus, ToStrip, TrackRun
from core.layout.queries import drops_on, free_way, joint_positions
from core.materials.rails import Rail

LEAST_PIECE_M = 0.05
"""Shorter stubs of rail than this are left to their joiner (house choice). [m]"""


def drop_spacing_m(rail: Rail, lost_v: float, amps: float) -> float:
    """Return how far apart drops may stand on track fed by all of them. [m].

    A train halfway sees both halves in parallel: I·2r·(s/2)/2 = I·r·s/2, so
    s = 2·ΔV/(I·r), r the resistance of one rail.
    """
    return 2.0 * lost_v / (amps * rail.ohm_per_m)


def stub_length_m(rail: Rail, lost_v: float, amps: float) -> float:
    """Return how long a stub beyond its last drop may be: a quarter of that. [m].

    I·2r·x = ΔV, so x = ΔV/(2·I·r).
    """
    return lost_v / (2.0 * amps * rail.ohm_per_m)


def bare_pieces(layout: Layout, run: TrackRun) -> tuple[tuple[float, float], ...]:
    """Return the pieces of rail of a run that have no drop of their own. [m]."""
    stops = [0.0, *joint_positions(run), run_path(run).length_m]
    places = [drop.on.position_m for drop in drops_on(layout, run.id)]
    return tuple(
        (start, end)
        for start, end in pairwise(stops)
        if end - start >= LEAST_PIECE_M
        and not any(start <= place <= end for place in places)
    )


def nearest_feed(layout: Layout, x_mm: float, y_mm: float) -> Attachment | None:
    """Return the nearest place to hang a drop on: a free way of a strip, or a bus."""
    best: tuple[float, Attachment] | None = None
    for bus in layout.of_kind(Bus):
        near = bus_path(bus).nearest(x_mm, y_mm)
        if best is None or near.distance_mm < best[0]:
            to = ToBus(part=bus.id, position_m=near.position_m)
            best = (near.distance_mm, to)
    strips = ((hypot(s.x_mm - x_mm, s.y_mm - y_mm), s) for s in layout.of_kind(Strip))
    for apart, strip in sorted(strips, key=lambda found: found[0]):
        if best is not None and apart > best[0]:
            break
        way = free_way(layout, strip)
        if way is not None:
            return ToStrip(part=strip.id, way=way)
    return best[1] if best is not None else None


def fill_drops(
    layout: Layout,
    runs: frozenset[PartId] | None = None,
    *,
    go_on: Callable[[], bool] = lambda: True,
) -> Change:
    """Return the change that gives each bare piece of rail a drop in its middle.

    "Every piece its own drop" is common practice, no source: it takes the joiners
    out of the way of the current. Each hangs on the nearest bus or strip.

    Parameters
    ----------
    runs : set of PartId, optional
        Only these tracks; default: all.
    go_on : callable
        Asked before each drop; once it says False no more are added.
    """
    work = layout.copy()
    made: list[Change] = []
    for run in layout.of_kind(TrackRun):
        if runs is not None and run.id not in runs:
            continue
        for start, end in bare_pieces(layout, run):
            if not go_on():
                break
            middle = 0.5 * (start + end)
            pose = run_path(run).at(middle)
            on = OnRun(run=run.id, position_m=middle)
            change = add_drop(work, on, to=nearest_feed(work, pose.x_mm, pose.y_mm))
            work.apply(change)
            made.append(change)
    label = f"Add {len(made)} drops" if len(made) != 1 else "Add 1 drop"
    whole = Change(label, {}, {})
    for change in made:
        whole = whole.then(change)
    return Change(label, whole.before, whole.after)
