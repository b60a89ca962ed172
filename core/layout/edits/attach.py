"""Connections: join and part them, and keep wire ends where they belong."""

from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import BEYOND_M, Draft
from core.layout.edits.taps import keep_taps
from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Drop,
    Inline,
    Point,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
)
from core.layout.queries import anchor

Which = Literal["to", "start", "end", "feed", "other"]


def connect(
    layout: Layout, part_id: PartId, which: Which, to: Attachment | None
) -> Change:
    """Return the change that wires a drop, bus end or device input to something.

    Parameters
    ----------
    which : str
        "to" of a drop, "start" or "end" of a bus, "feed" of an in-line device,
        "other" of a change-over switch.
    to : Attachment or None
        None lets go.

    Raises
    ------
    EditError
        What it is to be wired to is not there, or is itself; or the part has
        no such connection.
    """
    check_attachment(layout, to)
    if to is not None and to.part == part_id:
        raise EditError(f"{part_id} cannot be wired to itself.", "Choose another part.")
    draft = Draft(layout)
    part = layout.parts.get(part_id)
    if part is None:
        raise EditError(f"There is no part {part_id}.")
    match part:
        case Drop() if which == "to":
            draft.put(replace(part, to=to))
        case Bus() if which == "start":
            draft.put(replace(part, start=to))
        case Bus() if which == "end":
            draft.put(replace(part, end=to))
        case Inline() if which == "feed":
            draft.put(replace(part, feed=to))
        case Inline() if which == "other":
            draft.put(replace(part, other=to))
        case _:
            raise EditError(f"{part_id} has no connection called {which}.")
    settle(draft)
    words = f"Let go of {part_id}" if to is None else f"Wire {part_id} to {to.part}"
    return draft.change(words)


def check_attachment(layout: Layout, to: Attachment | None) -> None:
    """Refuse a connection to something that is not there.

    Raises
    ------
    EditError
        The part is missing or of another kind, the way or place is not on it.
    """
    if to is None:
        return
    found = False
    match to:
        case ToPort():
            device = layout.parts.get(to.part)
            found = isinstance(device, Booster | Inline)
        case ToStrip():
            strip = layout.get(to.part, Strip)
            found = strip is not None
            if strip is not None and not 1 <= to.way <= strip.ways:
                raise EditError(
                    f"{to.part} has {strip.ways} ways; there is no way {to.way}.",
                    "Choose a free way, or make the strip longer.",
                )
        case ToBus():
            bus = layout.get(to.part, Bus)
            found = bus is not None
            if bus is not None and not (
                -BEYOND_M <= to.position_m <= bus_path(bus).length_m + BEYOND_M
            ):
                raise EditError(
                    f"{to.position_m:.3f} m is off bus {to.part}.",
                    "Choose a place on the bus.",
                )
    if not found:
        raise EditError(
            f"There is no {to.part} to wire to.", "Choose a device, strip or bus."
        )


def settle(draft: Draft, moved: frozenset[PartId] = frozenset()) -> None:
    """Put the bus ends that were left behind where they are attached.

    Only what the draft moved counts: an end that lay elsewhere before stays. A
    bus that hangs on another bus follows it, however long the chain; a ring of
    buses that follow each other stops after as many rounds as there are buses.

    Parameters
    ----------
    moved : frozenset of PartId
        Buses that were moved as a whole: what hangs on them moved too.
    """
    buses = list(draft.view.of_kind(Bus))
    for _ in range(len(buses) + 1):
        stirred = [
            _settle_bus(draft, bus.id, as_a_whole=bus.id in moved) for bus in buses
        ]
        if not any(stirred):
            return


def _settle_bus(draft: Draft, bus_id: PartId, *, as_a_whole: bool) -> bool:
    """Return whether an end of a bus had to be moved."""
    bus = draft.view.get(bus_id, Bus)
    if bus is None:
        return False
    was = draft.base.get(bus_id, Bus)
    bent = was is None or was.points != bus.points
    points = list(bus.points)
    for index, to, before in (
        (0, bus.start, was and was.start),
        (-1, bus.end, was and was.end),
    ):
        if to is None:
            continue
        place = anchor(draft.view, to)
        stays = not bent and to == before and place == anchor(draft.base, to)
        if place is not None and not stays:
            points[index] = Point(x_mm=place[0], y_mm=place[1])
    if tuple(points) == bus.points:
        return False
    draft.put(replace(bus, points=tuple(points)))
    keep_taps(draft, bus, in_proportion=as_a_whole)
    return True
