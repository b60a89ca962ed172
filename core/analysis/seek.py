"""Where along each segment the true short is weakest.

Every harmonic's current is |u(t) / Z(t)|, u a line and Z a quadratic in t with the
reactance in it: what is highest where resistance is weighs little where inductance
rules. The least current of each harmonic is found on a comb and refined by a
parabola; a sum of such currents is least between the least of them and the most, so
only where those lie apart is there anything left to seek.
"""

from collections.abc import Callable

import numpy as np

from core.analysis.ordering import Ints
from core.analysis.scan import Scan
from core.analysis.shorts import HARMONICS, Waves
from core.analysis.system import Floats

Judge = Callable[[Ints, Floats], Floats]
"""Segments and fractions to what is to be least there; nan where nothing is judged."""

PROBED = (HARMONICS, 0, HARMONICS - 1)
"""Harmonics looked at one by one: the first of zeros, the first and last of ones."""

COMB = 9
"""Places of a segment at which each of them is looked at."""

TEETH = 7
"""Places tried in each round of the search."""

ROUNDS = 2
"""Rounds of the search: to 1/18 of where it began, where the least is flat."""

SAME = 2e-3
"""Currents of a place that all lie so little above their least are the least. [1]"""


def weakest_places(
    scan: Scan, waves: Waves, judge: Judge, free: Ints | None = None
) -> Floats:
    """Return the fraction of each segment at which `judge` is least, shape (S,).

    Parameters
    ----------
    judge : callable
        What is to be least, such as the margin of the short.
    free : int array, optional
        Segments that must be sought from end to end: there the part of a short
        that a device senses changes along the segment too.
    """
    low, high, excess = _bracket(scan, waves)
    if free is not None:
        low[free], high[free], excess[free] = 0.0, 1.0, np.inf
    t = 0.5 * (low + high)
    wide = np.flatnonzero(scan.fed & (excess > SAME))
    if len(wide):
        t[wide] = _seek(judge, wide, low[wide], high[wide])
    return t


def _bracket(scan: Scan, waves: Waves) -> tuple[Floats, Floats, Floats]:
    """Return between which fractions each segment's weakest place lies.

    The third is how far the current of any harmonic in the middle of them lies
    above its least.
    """
    comb = np.linspace(0.0, 1.0, COMB)
    every = np.arange(len(scan.fed))
    low, high = np.ones(len(every)), np.zeros(len(every))
    leasts = []
    for k in PROBED:
        amps = _harmonic(scan, waves, k, comb[None, :])
        place = _least(comb, amps)
        leasts.append(_harmonic(scan, waves, k, place[:, None])[:, 0])
        low, high = np.minimum(low, place), np.maximum(high, place)
    middle = 0.5 * (low + high)[:, None]
    excess = np.zeros(len(every))
    for k, least in zip(PROBED, leasts, strict=True):
        amps = _harmonic(scan, waves, k, middle)[:, 0]
        safe = np.where(least > 0.0, least, 1.0)
        excess = np.maximum(excess, amps / safe - 1.0)
    return low, high, excess


def _harmonic(scan: Scan, waves: Waves, k: int, t: Floats) -> Floats:
    """Return |u / Z| of harmonic k at fractions t of all segments, shape (S, T)."""
    a, cross, b = (term[:, k, None] for term in waves.terms)
    rails = waves.rails[:, k, None]
    s = 1.0 - t
    impedance = s**2 * a + 2.0 * s * t * cross + t**2 * b + s * t * rails
    volts = s * scan.driven0[:, None] + t * scan.driven1[:, None]
    size = np.abs(np.where(scan.fed[:, None], impedance, 1.0))
    return np.asarray(volts / size, np.float64)


def _least(comb: Floats, values: Floats) -> Floats:
    """Return where each row of values is least, between the teeth by a parabola."""
    best = values.argmin(axis=1)
    row = np.arange(len(values))
    middle = np.clip(best, 1, len(comb) - 2)
    before, here, after = (values[row, middle + step] for step in (-1, 0, 1))
    bend = before - 2.0 * here + after
    shift = 0.5 * (before - after) / np.where(bend > 0.0, bend, 1.0)
    inner = comb[middle] + np.clip(shift, -1.0, 1.0) * (comb[1] - comb[0])
    found = np.where((best == middle) & (bend > 0.0), inner, comb[best])
    return np.asarray(found, np.float64)


def _seek(judge: Judge, segments: Ints, low: Floats, high: Floats) -> Floats:
    """Return where `judge` is least between two fractions of each segment."""
    row = np.arange(len(segments))
    index = np.repeat(segments, TEETH)
    place = low
    for _ in range(ROUNDS):
        step = (high - low) / (TEETH - 1)
        places = low[:, None] + step[:, None] * np.arange(TEETH)
        values = judge(index, places.reshape(-1)).reshape(places.shape)
        # Where nothing is judged there is nothing to seek: any place will do.
        best = np.where(np.isfinite(values), values, np.inf).argmin(axis=1)
        place = places[row, best]
        low, high = np.maximum(place - step, low), np.minimum(place + step, high)
    return np.asarray(place, np.float64)
