"""Feed a bus elsewhere: by a feeder, by a moved booster, as a ring, as a star."""

from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.attach import settle
from core.layout.edits.draft import Draft, needed
from core.layout.edits.halves import halves, hand_over
from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Booster,
    Bus,
    Inline,
    Point,
    ToBus,
    ToPort,
)
from core.layout.queries import anchor

ASIDE_MM = 120.0
"""A booster that is moved to a bus stands so far beside it (house choice). [mm]"""

LEAST_M = 0.05
"""Nearer to the end that is fed now there is nothing to gain. [m]"""

LEGS = 3
"""Legs of a star (house choice)."""

End = Literal["start", "end"]


def fed_end(layout: Layout, bus: Bus) -> End | None:
    """Return the end that a booster or an output feeds; None for none or both."""
    ends: tuple[tuple[End, object], ...] = ("start", bus.start), ("end", bus.end)
    found = [end for end, to in ends if _is_source(layout, to)]
    return found[0] if len(found) == 1 else None


def feed_along(layout: Layout, bus_id: PartId, at_m: float) -> Change:
    """Return the change that feeds a bus at a place, by a feeder laid beside it.

    The booster stays where it is; a pair of the same wire runs along the bus from
    there to the place, and the bus itself is no longer joined to the booster.

    Raises
    ------
    EditError
        Not just one end of the bus is fed, or the place is at that end.
    """
    bus, end = _fed(layout, bus_id)
    draft = Draft(layout)
    place = _checked(bus, end, at_m)
    _let_go(draft, bus, end)
    draft.put(_feeder(draft, bus, end, ToBus(part=bus.id, position_m=place)))
    settle(draft)
    return draft.change(f"Feed bus {bus.id} at {place:.2f} m")


def move_feed(layout: Layout, bus_id: PartId, at_m: float) -> Change:
    """Return the change that stands the booster beside a bus and feeds it there.

    Raises
    ------
    EditError
        No booster feeds just one end of the bus directly, or the place is there.
    """
    bus, end = _fed(layout, bus_id)
    port = getattr(bus, end)
    booster = layout.get(port.part, Booster)
    if booster is None:
        raise EditError(
            f"Bus {bus.id} hangs on {port.part}, not on a booster.",
            "Move the booster by hand, or lay a feeder along the bus.",
        )
    draft = Draft(layout)
    place = _checked(bus, end, at_m)
    pose = bus_path(bus).at(place)
    x, y = pose.left(-ASIDE_MM)
    draft.put(replace(booster, x_mm=x, y_mm=y))
    _let_go(draft, bus, end)
    tap = ToBus(part=bus.id, position_m=place)
    draft.put(_lead(draft, bus, port, tap, (Point(x_mm=x, y_mm=y), _point(bus, place))))
    settle(draft)
    return draft.change(f"Move {booster.id} to {place:.2f} m of bus {bus.id}")


def close_ring(layout: Layout, bus_id: PartId) -> Change:
    """Return the change that leads the far end of a bus straight back to its feed.

    Raises
    ------
    EditError
        Not just one end of the bus is fed, or its far end hangs on something.
    """
    bus, end = _fed(layout, bus_id)
    far: End = "end" if end == "start" else "start"
    if getattr(bus, far) is not None:
        raise EditError(
            f"The far end of bus {bus.id} is joined to something already.",
            "Free it first.",
        )
    draft = Draft(layout)
    port = getattr(bus, end)
    length = bus_path(bus).length_m
    tap = ToBus(part=bus.id, position_m=length if far == "end" else 0.0)
    home = anchor(layout, port)
    assert home is not None, "what feeds it is there"
    way = (Point(x_mm=home[0], y_mm=home[1]), _point(bus, tap.position_m))
    draft.put(_lead(draft, bus, port, tap, way))
    settle(draft)
    return draft.change(f"Close bus {bus.id} to a ring")


def make_star(layout: Layout, bus_id: PartId) -> Change:
    """Return the change that cuts a bus into legs, each fed in its middle.

    A feeder of the same wire runs along the bus from what feeds it to each leg.

    Raises
    ------
    EditError
        Not just one end of the bus is fed.
    """
    bus, end = _fed(layout, bus_id)
    draft = Draft(layout)
    length = bus_path(bus).length_m
    _let_go(draft, bus, end)
    rest = draft.view.need(bus.id, Bus)
    legs: list[PartId] = []
    for _ in range(LEGS - 1):
        at_m = length / LEGS
        first, second = halves(rest, at_m, _point(rest, at_m))
        second = replace(second, id=draft.new_id(PREFIXES["bus"]), name="")
        hand_over(draft, rest.id, at_m, first.id, second.id)
        draft.put(first)
        rest = draft.put(second)
        legs.append(first.id)
    legs.append(rest.id)
    for number, leg_id in enumerate(legs):
        own = bus_path(draft.view.need(leg_id, Bus)).length_m
        tap = ToBus(part=leg_id, position_m=0.5 * own)
        along_m = (number + 0.5) * length / LEGS
        draft.put(_feeder(draft, bus, end, tap, along_m))
    settle(draft)
    return draft.change(f"Feed bus {bus.id} as a star of {LEGS}")


def _fed(layout: Layout, bus_id: PartId) -> tuple[Bus, End]:
    bus = needed(layout, bus_id, Bus)
    end = fed_end(layout, bus)
    if end is None:
        raise EditError(
            f"Bus {bus.id} is not fed at just one of its ends.",
            "This is for a bus that runs from a booster or an output to a free end.",
        )
    return bus, end


def _is_source(layout: Layout, to: object) -> bool:
    if not isinstance(to, ToPort):
        return False
    if layout.get(to.part, Booster) is not None:
        return True
    return layout.get(to.part, Inline) is not None and to.port != "in"


def _checked(bus: Bus, end: End, at_m: float) -> float:
    """Return a place on the bus, held inside it."""
    length = bus_path(bus).length_m
    place = min(max(at_m, 0.0), length)
    if (place if end == "start" else length - place) < LEAST_M:
        raise EditError(f"Bus {bus.id} is fed there already.", "Choose another place.")
    return place


def _let_go(draft: Draft, bus: Bus, end: End) -> None:
    """Part a bus from what feeds it; what was swapped there is swapped on the lead."""
    if end == "start":
        draft.put(replace(bus, start=None, start_flipped=False))
    else:
        draft.put(replace(bus, end=None, end_flipped=False))


def _feeder(
    draft: Draft,
    bus: Bus,
    end: End,
    tap: ToBus,
    along_m: float | None = None,
) -> Bus:
    """Return a pair along the bus as it was, from what feeds it to a place on it."""
    place = tap.position_m if along_m is None else along_m
    length = bus_path(bus).length_m
    if place <= 0.0 or place >= length:
        points = bus.points if end == "start" else tuple(reversed(bus.points))
    else:
        first, second = halves(bus, place, _point(bus, place))
        points = first.points if end == "start" else tuple(reversed(second.points))
    return _lead(draft, bus, getattr(bus, end), tap, points)


def _lead(
    draft: Draft, bus: Bus, port: ToPort, tap: ToBus, points: tuple[Point, ...]
) -> Bus:
    flipped = bus.start_flipped if bus.start == port else bus.end_flipped
    return Bus(
        id=draft.new_id(PREFIXES["bus"]),
        name="Feeder",
        points=points,
        wire=bus.wire,
        lay=bus.lay,
        spacing_mm=bus.spacing_mm,
        slack=bus.slack,
        start=port,
        end=tap,
        start_flipped=flipped,
    )


def _point(bus: Bus, at_m: float) -> Point:
    pose = bus_path(bus).at(at_m)
    return Point(x_mm=pose.x_mm, y_mm=pose.y_mm)
