"""Diamonds as rules name them: those that tie two tracks, those that cut a rail."""

from collections.abc import Iterable

from core.checks.fixes import refit
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, slip_roads
from core.layout.parts import Crossing
from core.network.crossings import plan_crossings

_SAME_PLACE_M = 1e-6


def tie_among(layout: Layout, parts: Iterable[PartId]) -> Crossing | None:
    """Return the first diamond among parts that only its own metal makes a way.

    A slip is none: its roads are meant to lead over.
    """
    for part in parts:
        crossing = layout.get(part, Crossing)
        lie = lie_of(layout, crossing) if crossing is not None else None
        if crossing is not None and lie is not None and not slip_roads(crossing, lie):
            return crossing
    return None


def tie_remedy(tie: Crossing) -> str:
    """Return what to do so that a diamond ties its two tracks no more."""
    return (
        f"Cut the two obtuse crossings of {tie.id} out of the rails too: then nothing "
        "ties the two tracks together there."
    )


def tie_fix(layout: Layout, tie: Crossing) -> Change:
    """Return the same as a change."""
    label = f"Cut the obtuse crossings of {tie.id}"
    return refit(layout, (tie.id,), label, frog="switched", obtuse="dead")


def cutting_crossings(
    layout: Layout, run: PartId, places_m: Iterable[float]
) -> tuple[PartId, ...]:
    """Return the diamonds and slips that cut a rail of a run at one of some places."""
    wanted = tuple(places_m)
    return tuple(
        plan.crossing.id
        for plan in plan_crossings(layout)
        if any(
            cut_run == run and abs(cut_m - place) <= _SAME_PLACE_M
            for cut_run, cut_m, _ in plan.cuts()
            for place in wanted
        )
    )
