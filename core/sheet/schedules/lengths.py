"""Lengths as they are cut: rounded up to what a tape shows."""

from collections.abc import Iterable, Sequence
from math import ceil

from core.layout.layout import Layout
from core.layout.parts import Drop
from core.layout.queries import drop_lead_m

STEP_M = {"m": 0.01, "ft": 0.0127}
"""What a cut length is rounded up to: 10 mm, or half an inch. [m]"""

REELS_M = {
    "m": (5.0, 10.0, 25.0, 50.0, 100.0),
    "ft": tuple(n * 0.3048 for n in (25, 50, 100, 250, 500)),
}
"""Reels that wire is sold on; common practice, no source. [m]"""


def cut_length(length: float, system: str) -> float:
    """Return a length rounded up to the next step of a tape. [m]"""
    step = STEP_M[system]
    return ceil(length / step - 1e-6) * step


def lead_of(layout: Layout, drop: Drop) -> float:
    """Return the length to cut for each wire of a drop. [m]"""
    return cut_length(drop_lead_m(layout, drop), layout.settings.lengths)


def reels_for(length: float, sizes: Sequence[float]) -> tuple[tuple[int, float], ...]:
    """Return how many reels of which size hold a length.

    The smallest one reel that holds all; more than the largest: as many of the
    largest as are needed, and the smallest that holds the rest.

    Parameters
    ----------
    length : float
        What is wanted. [m]
    sizes : sequence of float
        Lengths on a reel, smallest first. [m]

    Returns
    -------
    tuple of (int, float)
        Number and size; empty for no length. [1, m]
    """
    largest = sizes[-1]
    full, rest = divmod(length, largest)
    reels = {largest: int(full)} if full else {}
    if rest > 1e-9:
        holds = next(s for s in sizes if s >= rest - 1e-9)
        reels[holds] = reels.get(holds, 0) + 1
    return tuple((count, size) for size, count in sorted(reels.items(), reverse=True))


def grouped(lengths: Iterable[float]) -> tuple[tuple[int, float], ...]:
    """Return equal lengths counted, longest first. [1, m]"""
    counts: dict[float, int] = {}
    for length in lengths:
        key = round(length, 4)
        counts[key] = counts.get(key, 0) + 1
    return tuple((counts[k], k) for k in sorted(counts, reverse=True))
