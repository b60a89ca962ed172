"""How long track and bus may be, so that a layout can be worked out."""

from collections.abc import Iterable
from typing import Final

from core.layout.geometry import bus_path, piece_length_mm
from core.layout.parts import Bus, Part, TrackRun

MAX_RUN_M: Final = 1000.0
"""Longest track run or bus; positions go no further (`LengthM`). [m]"""

MAX_TRACK_M: Final = 50_000.0
"""Most track (and most bus) in one layout, a house choice. [m]"""

MAX_JOINTS: Final = 200_000
"""Most rail joints in one layout, a house choice. [1]"""


def length_of(part: Part) -> float:
    """Return the length of a run or bus along its path, 0 for other parts. [m]"""
    match part:
        case TrackRun():
            return sum(piece_length_mm(p) for p in part.pieces) / 1000.0
        case Bus():
            return bus_path(part).length_m
        case _:
            return 0.0


def size_trouble(part: Part) -> str:
    """Return why a part is of no possible size, empty where it is."""
    length = length_of(part)
    if length > MAX_RUN_M:
        return f"it is {length:,.0f} m long; {MAX_RUN_M:,.0f} m is the most"
    return ""


def total_trouble(parts: Iterable[Part]) -> str:
    """Return why parts are too much for one layout, empty where they are not."""
    track = bus = joints = 0.0
    for part in parts:
        if isinstance(part, TrackRun):
            track += length_of(part)
            joints += length_of(part) / part.piece_length_m
        elif isinstance(part, Bus):
            bus += length_of(part)
    for found, most, what in (
        (track, MAX_TRACK_M, "m of track"),
        (bus, MAX_TRACK_M, "m of bus"),
        (joints, MAX_JOINTS, "rail joints"),
    ):
        if found > most:
            return f"it holds {found:,.0f} {what}; {most:,.0f} are the most"
    return ""
