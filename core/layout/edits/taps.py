"""What hangs on a bus stays where it hangs when the bus is bent."""

from itertools import accumulate
from math import hypot

from msgspec.structs import replace

from core.layout.edits.draft import Draft
from core.layout.geometry import bus_path
from core.layout.parts import Attachment, Bus, Drop, Inline, Point, ToBus


def keep_taps(draft: Draft, before: Bus, *, in_proportion: bool = False) -> None:
    """Move what hangs on a reshaped bus as little in plan as can be.

    A tap stays on its leg of the bus (the stretch between two corners), at the
    place nearest to where it was; or, for a bus that was moved as a whole, at
    the same share of the leg.
    """
    after = draft.view.parts.get(before.id)
    if not isinstance(after, Bus):
        return

    def moved(to: Attachment | None) -> Attachment | None:
        if not isinstance(to, ToBus) or to.part != before.id:
            return to
        place = _same_share if in_proportion else _nearest_place
        position = place(before, after, to.position_m)
        return replace(to, position_m=min(position, bus_path(after).length_m))

    for part in list(draft.view.parts.values()):
        match part:
            case Drop() if moved(part.to) != part.to:
                draft.put(replace(part, to=moved(part.to)))
            case Inline() if moved(part.feed) != part.feed:
                draft.put(replace(part, feed=moved(part.feed)))
            case Bus() if (moved(part.start), moved(part.end)) != (
                part.start,
                part.end,
            ):
                draft.put(replace(part, start=moved(part.start), end=moved(part.end)))
            case _:
                pass


def _nearest_place(before: Bus, after: Bus, position_m: float) -> float:
    """Return where on a bus as it is now a tap is nearest to where it was. [m]"""
    pose = bus_path(before).at(position_m)
    legs = _legs_after(before, after, _leg_at(before, position_m))
    near = [_nearest_on(after, leg, pose.x_mm, pose.y_mm) for leg in legs]
    _, along = min(near)
    return along / 1000.0


def _same_share(before: Bus, after: Bus, position_m: float) -> float:
    """Return the place at the same share of the same leg. [m]"""
    leg = _leg_at(before, position_m)
    length = _leg_length(before, leg)
    along = position_m * 1000.0 - _leg_start(before, leg)
    share = along / length if length > 0.0 else 0.0
    return (_leg_start(after, leg) + share * _leg_length(after, leg)) / 1000.0


def _leg_at(bus: Bus, position_m: float) -> int:
    """Return which leg of a bus a position lies on, counted from 0."""
    legs = range(len(bus.points) - 1)
    ends = accumulate(_leg_length(bus, leg) for leg in legs)
    far = position_m * 1000.0
    return next(
        (leg for leg, end in zip(legs, ends, strict=True) if far < end), legs[-1]
    )


def _legs_after(before: Bus, after: Bus, leg: int) -> range:
    """Return which legs of the bus as it is now a leg of it may have become."""
    old, new = before.points, after.points
    if len(old) == len(new):
        return range(leg, leg + 1)
    most = min(len(old), len(new))
    same = range(most)
    head = next((i for i in same if old[i] != new[i]), most)
    tail = next((i for i in same if old[-1 - i] != new[-1 - i]), most)
    if leg + 1 < head:
        return range(leg, leg + 1)
    if leg >= len(old) - tail:
        return range(leg + len(new) - len(old), leg + len(new) - len(old) + 1)
    first = max(head - 1, 0)
    return range(first, max(min(len(new) - tail, len(new) - 1), first + 1))


def _nearest_on(bus: Bus, leg: int, x: float, y: float) -> tuple[float, float]:
    """Return how far a point is from a leg, and where along the bus. [mm, mm]"""
    a, b = bus.points[leg], bus.points[leg + 1]
    length = _leg_length(bus, leg)
    start = _leg_start(bus, leg)
    if length <= 0.0:
        return hypot(x - a.x_mm, y - a.y_mm), start
    ux, uy = (b.x_mm - a.x_mm) / length, (b.y_mm - a.y_mm) / length
    along = min(max((x - a.x_mm) * ux + (y - a.y_mm) * uy, 0.0), length)
    near = Point(x_mm=a.x_mm + along * ux, y_mm=a.y_mm + along * uy)
    return hypot(x - near.x_mm, y - near.y_mm), start + along


def _leg_start(bus: Bus, leg: int) -> float:
    return sum(_leg_length(bus, i) for i in range(leg))


def _leg_length(bus: Bus, leg: int) -> float:
    a, b = bus.points[leg], bus.points[leg + 1]
    return hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)
