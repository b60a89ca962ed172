"""Cross a connection over: what mends a pair that was joined the wrong way."""

from typing import Literal

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, needed
from core.layout.edits.sides import other_side
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, Inline, Strip


def flip_drop(layout: Layout, drop_id: PartId) -> Change:
    """Return the change that solders a drop's two wires the other way round."""
    drop = needed(layout, drop_id, Drop)
    draft = Draft(layout)
    draft.put(replace(drop, a_rail=other_side(drop.a_rail)))
    return draft.change(f"Swap the wires of {drop_id}")


def flip_strip(layout: Layout, strip_id: PartId) -> Change:
    """Return the change that swaps the bars that a strip's drops hang on."""
    strip = needed(layout, strip_id, Strip)
    draft = Draft(layout)
    draft.put(replace(strip, flipped=not strip.flipped))
    return draft.change(f"Swap the bars of {strip_id}")


def flip_bus_end(
    layout: Layout, bus_id: PartId, end: Literal["start", "end"]
) -> Change:
    """Return the change that swaps a bus's conductors at one end."""
    bus = needed(layout, bus_id, Bus)
    draft = Draft(layout)
    if end == "start":
        draft.put(replace(bus, start_flipped=not bus.start_flipped))
    else:
        draft.put(replace(bus, end_flipped=not bus.end_flipped))
    return draft.change(f"Swap the conductors of {bus_id} at its {end}")


def flip_feed(layout: Layout, device_id: PartId) -> Change:
    """Return the change that swaps the two wires into an in-line device."""
    device = needed(layout, device_id, Inline)
    draft = Draft(layout)
    draft.put(replace(device, feed_flipped=not device.feed_flipped))
    return draft.change(f"Swap the feed of {device_id}")


def flip_phase(layout: Layout, booster_id: PartId) -> Change:
    """Return the change that swaps a booster's two output terminals."""
    booster = needed(layout, booster_id, Booster)
    draft = Draft(layout)
    draft.put(replace(booster, reversed_phase=not booster.reversed_phase))
    return draft.change(f"Swap the terminals of {booster_id}")


def flip_connection(layout: Layout, part_id: PartId, where: str) -> Change:
    """Return the change that crosses over the connection a polarity search named.

    Parameters
    ----------
    where : str
        "drop", "strip", "start", "end" or "feed", as in
        `core.network.polarity.Culprit`.
    """
    match where:
        case "drop":
            return flip_drop(layout, part_id)
        case "strip":
            return flip_strip(layout, part_id)
        case "start":
            return flip_bus_end(layout, part_id, "start")
        case "end":
            return flip_bus_end(layout, part_id, "end")
        case "feed":
            return flip_feed(layout, part_id)
        case _:
            raise EditError(f"{part_id} has no connection called {where}.")
