"""Lay a diamond or slip where two tracks cross, and keep it where they cross."""

from math import hypot

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, place_on
from core.layout.geometry import run_path
from core.layout.ids import PartId, split_id
from core.layout.layout import Layout
from core.layout.lie import Lie
from core.layout.meeting import (
    LEVEL_MM,
    PlanCrossing,
    crossings_between,
    find_plan_crossings,
)
from core.layout.parts import PREFIXES, Crossing, OnRun, TrackRun
from core.layout.queries import level_mm_at, place_xy, run_name
from core.units.length import show_length
from core.units.si import Metre

MEET_MM = 2.0
"""Centre lines this close at the crossing's two places count as crossing. [mm]"""

SLIP_MOST_DEG = 45.0
"""No slip road fits between tracks at a blunter angle. [°]

Common practice, no source: slips on sale lie between 8° and 15°.
"""


def add_crossing(layout: Layout, a: OnRun, b: OnRun) -> Change:
    """Return the change that lays a diamond where two tracks cross.

    How it is made is as at the last crossing that was laid.

    Raises
    ------
    EditError
        The tracks do not cross there, lie at different heights, or have a crossing
        there already.
    """
    a, b = place_on(layout, a), place_on(layout, b)
    names = _names(layout, a.run, b.run)
    found = _nearest(layout, a, b)
    if found is None or _off(layout, a, b) > MEET_MM:
        raise EditError(
            f"{names} do not cross there.", "Choose a place where two tracks cross."
        )
    refuse_levels(layout, found)
    old = crossing_at(layout, found)
    if old is not None:
        raise EditError(
            f"{old.id} is there already.", "Choose it to change how it is made."
        )
    draft = Draft(layout)
    made = Crossing(id=draft.new_id(PREFIXES["crossing"]), a=found.a, b=found.b)
    like = _last(layout)
    if like is not None:
        made = replace(made, frog=like.frog, obtuse=like.obtuse)
    draft.put(made)
    return draft.change(f"Add crossing {made.id}")


def refuse_levels(layout: Layout, found: PlanCrossing) -> None:
    """Refuse a place where one track passes over the other.

    Raises
    ------
    EditError
        It is one; the sentence says by how much.
    """
    if not found.is_level:
        apart = show_length(Metre(found.apart_mm / 1000.0), layout.settings.lengths)
        raise EditError(
            f"{_names(layout, found.a.run, found.b.run)} lie {apart} apart in height "
            "there: one passes over the other.",
            "Set both tracks to one height if they do cross on the level.",
        )


def plan_crossing_near(
    layout: Layout, x_mm: float, y_mm: float, reach_mm: float
) -> PlanCrossing | None:
    """Return where two tracks cross nearest to a point; level ones go first."""
    near = [
        found
        for found in find_plan_crossings(layout, (x_mm, y_mm, reach_mm))
        if hypot(found.x_mm - x_mm, found.y_mm - y_mm) <= reach_mm
    ]
    return min(
        near,
        key=lambda f: (not f.is_level, hypot(f.x_mm - x_mm, f.y_mm - y_mm)),
        default=None,
    )


def crossing_at(layout: Layout, found: PlanCrossing) -> Crossing | None:
    """Return the crossing that lies on a place where tracks cross."""
    runs = {found.a.run, found.b.run}
    for crossing in layout.of_kind(Crossing):
        place = place_xy(layout, crossing.a)
        if {crossing.a.run, crossing.b.run} == runs and place is not None:
            apart = hypot(place[0] - found.x_mm, place[1] - found.y_mm)
            if apart <= MEET_MM:
                return crossing
    return None


def refuse_slip(crossing: Crossing, lie: Lie | None) -> None:
    """Refuse a slip between tracks that cross too bluntly.

    Raises
    ------
    EditError
        They do.
    """
    if crossing.shape == "diamond" or lie is None or lie.sharp_deg <= SLIP_MOST_DEG:
        return
    raise EditError(
        f"The tracks of {crossing.id} cross at {lie.sharp_deg:.0f}°: "
        "no slip road fits.",
        f"A slip needs tracks that cross at {SLIP_MOST_DEG:.0f}° or less.",
    )


def follow_tracks(draft: Draft) -> None:
    """Put each crossing where its tracks cross now, or take it away.

    A crossing whose tracks did not cross where it was (in a file made elsewhere) is
    left as it is, as long as its tracks are.
    """
    for crossing in list(draft.view.of_kind(Crossing)):
        if not _is_touched(draft, crossing) or _is_as_sound_as_it_was(draft, crossing):
            continue
        found = _followed(draft, crossing)
        if found is None:
            draft.take_out(crossing.id)
        else:
            draft.put(replace(crossing, a=found[0], b=found[1]))


def _is_touched(draft: Draft, crossing: Crossing) -> bool:
    return bool({crossing.id, crossing.a.run, crossing.b.run} & draft.touched.keys())


def _is_as_sound_as_it_was(draft: Draft, crossing: Crossing) -> bool:
    high, off = _unsound(draft.view, crossing)
    if high <= LEVEL_MM and off <= MEET_MM:
        return True
    was = draft.base.get(crossing.id, Crossing)
    if was is None:
        return False
    before = _unsound(draft.base, was)
    return high <= max(before[0], LEVEL_MM) and off <= max(before[1], MEET_MM) + 1e-6


def _unsound(layout: Layout, crossing: Crossing) -> tuple[float, float]:
    """Return how far the two tracks are apart in height, and in plan. [mm]"""
    a = layout.need(crossing.a.run, TrackRun)
    b = layout.need(crossing.b.run, TrackRun)
    apart = level_mm_at(a, crossing.a.position_m) - level_mm_at(
        b, crossing.b.position_m
    )
    return abs(apart), _off(layout, crossing.a, crossing.b)


def _followed(draft: Draft, crossing: Crossing) -> tuple[OnRun, OnRun] | None:
    """Return the places nearest to the old one where the tracks cross now."""
    was = draft.base.get(crossing.id, Crossing)
    a = draft.view.get(crossing.a.run, TrackRun)
    b = draft.view.get(crossing.b.run, TrackRun)
    if a is None or b is None:
        return None
    old = place_xy(draft.base, was.a) if was is not None else None
    old = old or place_xy(draft.view, crossing.a)
    assert old is not None, "one of the two runs is there"
    at = old
    best = min(
        (found for found in crossings_between(a, b) if found.is_level),
        key=lambda f: hypot(f.x_mm - at[0], f.y_mm - at[1]),
        default=None,
    )
    if best is None or crossing_at(draft.view, best) not in (None, crossing):
        return None
    if a == b and crossing.a.position_m > crossing.b.position_m:
        return best.b, best.a
    return best.a, best.b


def _nearest(layout: Layout, a: OnRun, b: OnRun) -> PlanCrossing | None:
    """Return where the two tracks cross nearest to two places on them."""
    one, other = layout.need(a.run, TrackRun), layout.need(b.run, TrackRun)
    if one == other and a.position_m > b.position_m:
        a, b = b, a
    return min(
        crossings_between(one, other),
        key=lambda f: (
            abs(f.a.position_m - a.position_m) + abs(f.b.position_m - b.position_m)
        ),
        default=None,
    )


def _off(layout: Layout, a: OnRun, b: OnRun) -> float:
    """Return how far apart the two places lie in plan. [mm]"""
    here = run_path(layout.need(a.run, TrackRun)).at(a.position_m)
    there = run_path(layout.need(b.run, TrackRun)).at(b.position_m)
    return hypot(here.x_mm - there.x_mm, here.y_mm - there.y_mm)


def _names(layout: Layout, a: PartId, b: PartId) -> str:
    if a == b:
        return f"The two stretches of {run_name(layout, a)}"
    return f"{run_name(layout, a)} and {run_name(layout, b)}"


def _last(layout: Layout) -> Crossing | None:
    def number(crossing: Crossing) -> int:
        split = split_id(crossing.id)
        return split[1] if split else 0

    return max(layout.of_kind(Crossing), key=number, default=None)
