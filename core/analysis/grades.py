"""Where the verdict on a quantity changes, and what track is good or poor."""

from dataclasses import dataclass
from itertools import pairwise
from math import isnan

from core.analysis.study import Quantity, TrackValues, Verdict
from core.layout.layout import Layout
from core.layout.parts import Booster, Settings

Stops = tuple[float, float, float, float]
"""Best, end of good, end of tolerable, worst, in the quantity's unit. [V, Ω or 1]"""

LEAST_TRAIN_A = 0.05
"""A test train of less is taken as this much, so that a loop has a limit. [A]"""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a run that is of one grade. [m]"""

    start_m: float
    end_m: float
    grade: Verdict


def stops_of(quantity: Quantity, settings: Settings, source_v: float) -> Stops:
    """Return the figures where the verdict on a quantity changes.

    Volts: shares of the source's; the worst lies half as far again past the
    tolerable limit. Loop: the resistance at which the test train loses those
    shares. Shorts: the margins; the best lies half as far again above good, the
    worst where a short would no longer trip (house choice).
    """
    limits = settings.limits
    if quantity in ("short", "short_dc"):
        good, least = limits.short_good, limits.short_least
        return max(1.5 * good, 3.0), good, least, min(1.0, 0.5 * least)
    good, most = limits.drop_good, max(limits.drop_most, limits.drop_good + 1e-3)
    shares = (0.0, good, most, 1.5 * most)
    if quantity == "volts":
        best, at_good, at_most, worst = (source_v * (1.0 - s) for s in shares)
        return best, at_good, at_most, worst
    per_share = source_v / max(settings.test_train_a, LEAST_TRAIN_A)
    zero, at_good, at_most, worst = (s * per_share for s in shares)
    return zero, at_good, at_most, worst


def stops_for(quantity: Quantity, layout: Layout) -> Stops:
    """Return those of a layout, by the volts of its strongest booster."""
    volts = max((b.volts_v for b in layout.of_kind(Booster)), default=0.0)
    return stops_of(quantity, layout.settings, volts)


def grade_of(value: float, stops: Stops) -> Verdict:
    """Return the grade of a figure; a figure on a limit is of the better grade."""
    if isnan(value):
        return "dead"
    best, good, most, worst = stops
    sign = 1.0 if best > worst else -1.0
    if sign * value >= sign * good:
        return "good"
    return "tolerable" if sign * value >= sign * most else "poor"


def grade_stretches(along: TrackValues, stops: Stops) -> tuple[Stretch, ...]:
    """Return a run as stretches of one grade each, from its start to its end.

    Between two given places the figure is taken to change evenly, as it does in
    the colours of the plan.
    """
    found: list[Stretch] = []
    points = list(zip(along.positions_m.tolist(), along.values.tolist(), strict=True))
    for (start, low), (end, high) in pairwise(points):
        if end <= start:
            continue
        cuts = [start, *_crossings(start, low, end, high, stops), end]
        for a, b in pairwise(cuts):
            share = (0.5 * (a + b) - start) / (end - start)
            _extend(found, Stretch(a, b, grade_of(low + share * (high - low), stops)))
    return tuple(found)


def _crossings(
    start: float, low: float, end: float, high: float, stops: Stops
) -> list[float]:
    """Return where a line crosses the two limits, in order. [m]"""
    if isnan(low) or isnan(high) or low == high:
        return []
    shares = ((limit - low) / (high - low) for limit in stops[1:3])
    return sorted(start + s * (end - start) for s in shares if 0.0 < s < 1.0)


def _extend(found: list[Stretch], more: Stretch) -> None:
    last = found[-1] if found else None
    if last is not None and (last.grade, last.end_m) == (more.grade, more.start_m):
        found[-1] = Stretch(last.start_m, more.end_m, more.grade)
    else:
        found.append(more)
