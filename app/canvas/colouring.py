"""From a quantity along the track to one of the theme's colours, and its legend."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.analysis.grades import stops_of
from core.analysis.study import Quantity, TrackValues
from core.layout.parts import Settings

Floats = NDArray[np.float64]

BINS = 24
"""Colours of the ramp, from good to bad."""

DEAD = -1
"""The bin of track that no booster reaches."""

POOR_FROM = 16
"""From this bin on a value is past what is tolerable: two thirds of the ramp."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How values become colours.

    Attributes
    ----------
    quantity : str
        What is shown.
    stops : (float, float, float, float)
        Best, end of good, end of tolerable, worst: at 0, 1/3, 2/3 and 1 of the
        ramp, and in proportion between them. [V, Ω or 1]
    """

    quantity: Quantity
    stops: tuple[float, float, float, float]

    def bins(self, values: Floats) -> NDArray[np.int64]:
        """Return the colour bin of each value; DEAD for nan."""
        stops = np.array(self.stops)
        ramp = np.array((0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0))
        if stops[0] > stops[-1]:
            stops, ramp = stops[::-1], ramp[::-1]
        share = np.interp(np.nan_to_num(values), stops, ramp)
        bins = np.minimum((share * BINS).astype(np.int64), BINS - 1)
        return np.where(np.isnan(values), DEAD, bins)


@dataclass(frozen=True, slots=True)
class Colours:
    """A quantity along one run, with the scale that colours it."""

    values: TrackValues
    scale: Scale

    def are_like(self, other: "Colours | None") -> bool:
        """Return whether they colour a run as others do."""
        return (
            other is not None
            and self.scale == other.scale
            and np.array_equal(self.values.positions_m, other.values.positions_m)
            and np.array_equal(self.values.values, other.values.values, equal_nan=True)
        )

    def bins_at(self, positions_m: Floats) -> NDArray[np.int64]:
        """Return the colour bin at places along the run."""
        if not len(self.values.positions_m):
            return np.full(len(positions_m), DEAD)
        found = np.interp(positions_m, self.values.positions_m, self.values.values)
        return self.scale.bins(found)


@dataclass(frozen=True, slots=True)
class Legend:
    """What the colours mean.

    Attributes
    ----------
    quantity : str
        What is shown.
    low, high : float
        Values at the good and at the bad end of the ramp. [unit]
    unit : str
        "V", "Ω" or "× trip".
    colours : tuple of str
        The ramp, good to bad.
    limits : (float, float)
        Where good ends and where tolerable ends: at one and two thirds. [unit]
    """

    quantity: Quantity
    low: float
    high: float
    unit: str
    colours: tuple[str, ...]
    limits: tuple[float, float]


UNITS: dict[Quantity, str] = {
    "volts": "V",
    "loop": "Ω",
    "short": "× trip",
    "short_dc": "× trip",
}


def make_scale(quantity: Quantity, settings: Settings, source_v: float) -> Scale:
    """Return the scale of a quantity, tied to what counts as good and tolerable."""
    return Scale(quantity, stops_of(quantity, settings, source_v))


def make_legend(scale: Scale, ramp: tuple[str, ...]) -> Legend:
    """Return the legend of a scale."""
    best, good, most, worst = scale.stops
    return Legend(
        scale.quantity, best, worst, UNITS[scale.quantity], ramp, (good, most)
    )
