"""What the end of a wire may be joined to, where the pointer is."""

from math import hypot

from app.tools.pointer import Pointer
from core.layout.geometry import bus_path
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, Strip, ToBus, ToPort, ToStrip
from core.layout.queries import free_way

REACH_MM = 2500.0
"""A drop finds its bus or strip by itself up to this far from its track. [mm]"""


def attachment_at(at: Pointer) -> Attachment | None:
    """Return what the pointer is pulled to, as the end of a wire."""
    on = at.snap.on
    return on if isinstance(on, ToPort | ToBus | ToStrip) else None


def nearest_attachment(
    layout: Layout, x_mm: float, y_mm: float, within_mm: float = REACH_MM
) -> Attachment | None:
    """Return the nearest bus, or strip with a free way, as the end of a wire."""
    best: Bus | Strip | None = None
    least, position = within_mm, 0.0
    for bus in layout.of_kind(Bus):
        near = bus_path(bus).nearest(x_mm, y_mm)
        if near.distance_mm < least:
            best, least, position = bus, near.distance_mm, near.position_m
    for strip in layout.of_kind(Strip):
        away = hypot(strip.x_mm - x_mm, strip.y_mm - y_mm)
        if away < least and free_way(layout, strip) is not None:
            best, least = strip, away
    if isinstance(best, Bus):
        return ToBus(part=best.id, position_m=position)
    if best is None:
        return None
    return ToStrip(part=best.id, way=free_way(layout, best) or best.ways)
