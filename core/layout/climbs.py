"""How far a drop on climbing track stands above the foot of that track, in words."""

from core.layout.layout import Layout
from core.layout.parts import Drop, TrackRun
from core.layout.queries import level_mm_at, run_name
from core.units.length import show_length

SEEN_M = 0.0005
"""Less than this above the foot is nothing to a tape. [m]"""


def above_foot_m(layout: Layout, drop: Drop) -> float:
    """Return how far a drop stands above the lower end of its track. [m].

    0 on track that does not climb. The level of the track as a whole is not in it:
    an upper deck has its bus at its own height.
    """
    run = layout.need(drop.on.run, TrackRun)
    if run.level_end_mm is None:
        return 0.0
    foot_mm = min(run.level_mm, run.level_end_mm)
    return (level_mm_at(run, drop.on.position_m) - foot_mm) / 1000.0


def climb_sentence(layout: Layout, drop: Drop) -> str:
    """Return what its height means for the length of a drop; "" where there is none.

    A length that was typed is kept, and nothing is said of adding to it.
    """
    above_m = above_foot_m(layout, drop)
    if above_m < SEEN_M:
        return ""
    up = show_length(round(above_m, 3), layout.settings.lengths)
    place = f"{up} above the foot of {run_name(layout, drop.on.run)}"
    if drop.lead_m is not None:
        return f"{place}; its length is as typed."
    return f"{place}: add that where the bus lies at the foot."
