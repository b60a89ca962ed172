"""A bus in two: its two halves, and what hangs on them."""

from itertools import accumulate, pairwise
from math import hypot

from msgspec.structs import replace

from core.layout.edits.draft import Draft
from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.parts import Attachment, Bus, Drop, Inline, Point, ToBus

_SAME = 1e-6
"""Corners this near to the cut are it. [mm]"""


def halves(bus: Bus, at_m: float, here: Point) -> tuple[Bus, Bus]:
    """Return the bus up to a place and beyond it, both under its id."""
    length = bus_path(bus).length_m
    share = at_m / length
    legs = [hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm) for a, b in pairwise(bus.points)]
    far = [0.0, *accumulate(legs)]
    heads = [
        p for p, d in zip(bus.points, far, strict=True) if d < at_m * 1000.0 - _SAME
    ]
    tails = [
        p for p, d in zip(bus.points, far, strict=True) if d > at_m * 1000.0 + _SAME
    ]
    first = replace(
        bus,
        points=(*heads, here),
        extra_m=bus.extra_m * share,
        end=None,
        end_flipped=False,
        end_label="",
        snubber=bus.snubber and bus.start is None,
    )
    second = replace(
        bus,
        points=(here, *tails),
        extra_m=bus.extra_m * (1.0 - share),
        start=None,
        start_flipped=False,
        start_label="",
        snubber=bus.snubber and bus.end is None,
    )
    return first, second


def hand_over(
    draft: Draft, bus: PartId, at_m: float, first: PartId, second: PartId
) -> None:
    """Let what hangs on a cut bus hang on the piece that lies there now."""

    def moved(to: Attachment | None) -> Attachment | None:
        if not isinstance(to, ToBus) or to.part != bus:
            return to
        if to.position_m < at_m:
            return ToBus(part=first, position_m=to.position_m)
        return ToBus(part=second, position_m=to.position_m - at_m)

    for part in list(draft.view.parts.values()):
        match part:
            case Drop() if moved(part.to) != part.to:
                draft.put(replace(part, to=moved(part.to)))
            case Inline() if (moved(part.feed), moved(part.other)) != (
                part.feed,
                part.other,
            ):
                feed, other = moved(part.feed), moved(part.other)
                draft.put(replace(part, feed=feed, other=other))
            case Bus() if part.id != bus and (moved(part.start), moved(part.end)) != (
                part.start,
                part.end,
            ):
                draft.put(replace(part, start=moved(part.start), end=moved(part.end)))
            case _:
                pass
