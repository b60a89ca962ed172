"""Short words that several rules need."""

from collections.abc import Sequence

from core.analysis.districts import District
from core.units.figures import show_amps

MOST_NAMED = 6
"""Ids named in one sentence before it says "and so many more"."""


def list_names(names: Sequence[str], most: int = MOST_NAMED) -> str:
    """Return "D3", "D3 and D7", "D3, D7 and D9" or "D3, D7 and 4 more"."""
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def left_out(shorted: Sequence[str]) -> str:
    """Return "PB1 is shorted: its track is left out."; empty where none is."""
    if len(shorted) < 2:
        return "".join(f"{name} is shorted: its track is left out." for name in shorted)
    return f"{list_names(shorted)} are shorted: their track is left out."


def count_of(count: int, one: str, many: str = "") -> str:
    """Return "1 track" or "3 tracks"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def chain_words(district: District) -> str:
    """Return "PB1 → CB2 → OD3", or who feeds it side by side."""
    if not district.is_joined:
        return " → ".join(district.chain)
    return f"{' and '.join(district.feeders)} joined, nothing parts them"


def left_words(district: District) -> str:
    """Return what may still be drawn in a district, and which device says so."""
    room = district.headroom
    if room is None:
        return "shorted"
    if room.amps_a < 0.0:
        return f"{show_amps(-room.amps_a)} too much for {room.by}"
    return f"{show_amps(room.amps_a)} left at {room.by}"
