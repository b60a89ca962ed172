"""From figures to places along a plot, and round figures for its axes."""

from dataclasses import dataclass
from math import floor, log10

STEPS = (1.0, 2.0, 5.0, 10.0)
"""What an axis counts in, times a power of ten."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One direction of a plot: figures from `low` to `high` over a length.

    The length is in pixels on a screen, in millimetres on paper.
    """

    low: float
    high: float
    length: float

    def at(self, figure: float) -> float:
        """Return how far from the axis's start a figure stands."""
        span = self.high - self.low
        return (figure - self.low) / span * self.length if span else 0.0

    def figure(self, at: float) -> float:
        """Return the figure at a distance from the axis's start."""
        if self.length <= 0.0:
            return self.low
        return self.low + at / self.length * (self.high - self.low)

    def ticks(self, most: int) -> tuple[float, ...]:
        """Return round figures inside the axis, at most so many."""
        span = self.high - self.low
        if span <= 0.0 or most < 1:
            return ()
        rough = span / most
        power = 10.0 ** floor(log10(rough))
        step = next(s * power for s in STEPS if s * power >= rough * 0.999)
        first = -(-self.low // step) * step
        count = floor((self.high - first) / step + 1e-9) + 1
        return tuple(first + i * step for i in range(count))
