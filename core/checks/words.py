"""Short words that several rules need."""

from collections.abc import Sequence

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
