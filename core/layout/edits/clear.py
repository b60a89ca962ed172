"""Whether a turnout has the room it needs: track, and nothing in its blades."""

from collections.abc import Iterator
from dataclasses import dataclass

from core.errors import EditError
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Gap, RunEnd, TrackRun, Turnout
from core.layout.queries import ends_of, run_name
from core.units.length import show_length
from core.units.si import Metre

SAME_M = 1e-5
"""Places closer than this touch, and touching is allowed. [m]"""


@dataclass(frozen=True, slots=True)
class Span:
    """A turnout from its toe to its crossing, along its through run. [m]"""

    toe_m: float
    frog_m: float

    def holds(self, position_m: float) -> bool:
        """Return whether a place lies inside it."""
        low, high = sorted((self.toe_m, self.frog_m))
        return low + SAME_M < position_m < high - SAME_M

    def overlaps(self, other: "Span") -> bool:
        """Return whether both have track in common."""
        low, high = sorted((self.toe_m, self.frog_m))
        start, end = sorted((other.toe_m, other.frog_m))
        return min(high, end) - max(low, start) > SAME_M


def span_of(turnout: Turnout) -> Span:
    """Return what a turnout takes of its through run."""
    toe = turnout.on.position_m
    sign = 1.0 if turnout.opens == "forward" else -1.0
    return Span(toe, toe + sign * turnout.lead_m)


def is_three_way(one: Turnout, other: Turnout) -> bool:
    """Return whether two turnouts share their blades: legs left and right at once."""
    return (
        one.id != other.id
        and one.on.run == other.on.run
        and one.opens == other.opens
        and one.hand != other.hand
        and span_of(one).overlaps(span_of(other))
    )


def need_room(layout: Layout, turnout: Turnout) -> None:
    """Refuse a turnout that has no room where it lies.

    Raises
    ------
    EditError
        Its track ends before the crossing, or a gap or another turnout lies between
        its toe and its crossing.
    """
    for trouble in _troubles(layout, turnout):
        raise trouble


def has_room(layout: Layout, turnout: Turnout) -> bool:
    """Return whether nothing is in a turnout's way where it lies."""
    return next(_troubles(layout, turnout), None) is None


def _troubles(layout: Layout, turnout: Turnout) -> Iterator[EditError]:
    run = layout.need(turnout.on.run, TrackRun)
    name, span = run_name(layout, run.id), span_of(turnout)

    def far(length_m: float) -> str:
        return show_length(Metre(abs(length_m)), layout.settings.lengths)

    length = run_path(run).length_m
    left = length - span.toe_m if turnout.opens == "forward" else span.toe_m
    if left < turnout.lead_m - SAME_M:
        yield EditError(
            f"The crossing lies {far(turnout.lead_m)} from the toe, but {name} ends "
            f"after {far(left)}.",
            "Place it further back, or let it open the other way.",
        )
    for gap in layout.of_kind(Gap):
        at = gap.on.position_m
        if gap.on.run == run.id and span.holds(at):
            yield EditError(
                f"{gap.id} cuts {name} between toe and frog, "
                f"{far(at - span.toe_m)} from the toe.",
                "Place the turnout beside the gap, or take the gap away.",
            )
    for other in layout.of_kind(Turnout):
        if other.id != turnout.id and other.on.run == run.id:
            clear = is_three_way(turnout, other)
            if span.overlaps(span_of(other)) and not clear:
                apart = far(other.on.position_m - span.toe_m)
                yield EditError(
                    f"{other.id} is too near: its toe is {apart} away on {name}, "
                    "and the two would lie in each other.",
                    "Place it clear of the other turnout's crossing.",
                )
    yield from _on_leg(layout, turnout, span, length)


def _on_leg(
    layout: Layout, turnout: Turnout, span: Span, length_m: float
) -> Iterator[EditError]:
    """Yield trouble with turnouts whose leg the through run is."""
    name = run_name(layout, turnout.on.run)
    for holder, end in ends_of(layout, turnout.on.run):
        if not isinstance(holder, Turnout) or holder.id == turnout.id:
            continue
        at = 0.0 if end.end == "start" else length_m
        sign = 1.0 if end.end == "start" else -1.0
        if span.overlaps(Span(at, at + sign * holder.lead_m)):
            yield EditError(
                f"{name} is the leg of {holder.id} there, before its crossing.",
                f"Place it further along, beyond the crossing of {holder.id}.",
            )


def turnouts_beyond(
    layout: Layout, run: PartId, toe_m: float, end: RunEnd
) -> list[str]:
    """Return the turnouts on a run between a place and one of its ends."""
    ahead = end.end == "end"
    return [
        t.id
        for t in layout.of_kind(Turnout)
        if t.on.run == run and (t.on.position_m > toe_m) == ahead
    ]
