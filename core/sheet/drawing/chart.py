"""Volts along a track as a chart: limits, drops and trains on the way, the lowest."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite, nan

from core.analysis.profile import Profile
from core.sheet.frame import Box
from core.sheet.marks import FAINT, INK, SOFT, WHITE, Circle, Line, Mark, Shape, Text
from core.units.axis import Axis
from core.units.figures import show_volts
from core.units.length import show_length

_LEFT, _RIGHT, _TOP, _BOTTOM = 15.0, 3.0, 2.0, 9.5
_SIZE = 8.0
_HEADROOM = 0.08
_LEAST_SPREAD_V = 0.2
"""A line flatter than this is not drawn as if it fell; house choice. [V]"""

_TICK_EACH = 26.0
"""Room for a figure below. [mm]"""


@dataclass(frozen=True, slots=True)
class Chart:
    """A profile on a piece of paper.

    Attributes
    ----------
    profile : Profile
        What is drawn.
    limits_v : tuple of (float, str)
        Volts at which the verdict changes, and the word for what lies above. [V]
    system : str
        The person's units of length.
    area : Box
        The room of it all. [mm]
    """

    profile: Profile
    limits_v: tuple[tuple[float, str], ...]
    system: str
    area: Box

    def marks(self) -> Iterable[Mark]:
        """Yield the marks."""
        plot = Box(
            self.area.left + _LEFT,
            self.area.top + _TOP,
            self.area.right - _RIGHT,
            self.area.bottom - _BOTTOM,
        )
        along = Axis(0.0, max(self.profile.length_m, 1e-6), plot.width)
        up = self._up(plot.height)
        yield from self._ground(plot, along, up)
        yield from self._limit_lines(plot, up)
        yield from self._things(plot, along)
        yield from self._line(plot, along, up)
        yield from self._lowest(plot, along, up)

    def _up(self, height: float) -> Axis:
        shown = [float(v) for v in self.profile.volts_v if isfinite(v)]
        low, high = min(shown, default=0.0), max(shown, default=1.0)
        spread = max(high - low, _LEAST_SPREAD_V)
        near = (v for v, _ in self.limits_v if abs(v - low) <= 2.0 * spread)
        low = min(low, high - spread, *near) if self.limits_v else min(low, high)
        high = max(high, *(v for v, _ in self.limits_v if abs(v - high) <= spread), low)
        room = _HEADROOM * max(high - low, _LEAST_SPREAD_V)
        return Axis(low - room, high + room, height)

    def _ground(self, plot: Box, along: Axis, up: Axis) -> Iterable[Mark]:
        yield Shape(plot.corners, WHITE)
        for volts in up.ticks(4):
            y = plot.bottom - up.at(volts)
            yield Line(((plot.left, y), (plot.right, y)), 0.12, FAINT)
            yield Text(plot.left - 1.2, y + 1.0, show_volts(volts), _SIZE, "end")
        for metres in along.ticks(max(int(plot.width // _TICK_EACH), 1)):
            x = plot.left + along.at(metres)
            yield Line(((x, plot.bottom), (x, plot.bottom + 1.0)), 0.2, INK)
            words = show_length(metres, "ft" if self.system == "ft" else "m")
            words = "0" if abs(metres) < 5e-4 else words
            yield Text(x, plot.bottom + 4.2, words, _SIZE, "middle", ink=SOFT)
        yield Line(plot.corners, 0.25, INK, closed=True)

    def _limit_lines(self, plot: Box, up: Axis) -> Iterable[Mark]:
        for volts, words in self.limits_v:
            if up.low < volts < up.high:
                y = plot.bottom - up.at(volts)
                yield Line(((plot.left, y), (plot.right, y)), 0.3, INK, (2.0, 1.2))
                yield Text(plot.right - 1.0, y - 0.7, words, 7.5, "end", ink=SOFT)

    def _things(self, plot: Box, along: Axis) -> Iterable[Mark]:
        """Yield a stroke for each drop at the foot, a block for each load on top."""
        for drop in self.profile.drops:
            x = plot.left + along.at(drop.distance_m)
            yield Line(((x, plot.bottom), (x, plot.bottom - 3.0)), 0.5, INK)
        for load in self.profile.loads:
            x = plot.left + along.at(load.distance_m)
            block = Box(x - 2.0, plot.top + 0.6, x + 2.0, plot.top + 2.0)
            yield Shape(block.corners, SOFT)

    def _line(self, plot: Box, along: Axis, up: Axis) -> Iterable[Mark]:
        points: list[tuple[float, float]] = []
        metres = [*self.profile.distance_m.tolist(), 0.0]
        for here, volts in zip(
            metres, [*self.profile.volts_v.tolist(), nan], strict=True
        ):
            if isfinite(volts):
                points.append((plot.left + along.at(here), plot.bottom - up.at(volts)))
                continue
            if len(points) > 1:
                yield Line(tuple(points), 0.55, INK)
            points = []

    def _lowest(self, plot: Box, along: Axis, up: Axis) -> Iterable[Mark]:
        found = [
            (volts, here)
            for volts, here in zip(
                self.profile.volts_v.tolist(),
                self.profile.distance_m.tolist(),
                strict=True,
            )
            if isfinite(volts)
        ]
        if found:
            volts, here = min(found)
            x, y = plot.left + along.at(here), plot.bottom - up.at(volts)
            yield Circle(x, y, 1.1, WHITE, INK, 0.5)
