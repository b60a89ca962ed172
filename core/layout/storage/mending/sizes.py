"""Sizes that a layout cannot have, whatever each line by itself may say."""

from collections.abc import Iterable

from core.errors import FileFormatError
from core.layout.geometry import bus_path, piece_length_mm
from core.layout.parts import Bus, Part, TrackRun
from core.layout.storage.format import MAX_JOINTS, MAX_RUN_M, MAX_TRACK_M


def length_of(part: Part) -> float:
    """Return the length of a run or bus along its path, 0 for other parts. [m]"""
    match part:
        case TrackRun():
            return sum(piece_length_mm(p) for p in part.pieces) / 1000.0
        case Bus():
            return bus_path(part).length_m
        case _:
            return 0.0


def trouble_of(part: Part) -> str:
    """Return why a part is of no possible size, empty where it is."""
    length = length_of(part)
    if length > MAX_RUN_M:
        return f"it is {length:,.0f} m long; {MAX_RUN_M:,.0f} m is the most"
    return ""


def check_total(parts: Iterable[Part], where: str) -> None:
    """Refuse a layout that would take all memory to work out.

    Raises
    ------
    FileFormatError
        There is too much track, bus or rail joints.
    """
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
            raise FileFormatError(
                where,
                f"it holds {found:,.0f} {what}; {most:,.0f} are the most.",
                "Check that the file is a layout and its lengths are right.",
            )
