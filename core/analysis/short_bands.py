"""How sure a true short is: bands of rail, joint and wire carried to its current.

At each frequency the derivative of the loop impedance at a place by the resistance of
a branch is b², b the branch's complex share of a unit current drawn there (the
adjoint, as in `bands`). Each kind of resistance is moved to the end of its band that
leaves less current, all kinds together, and the square wave is summed up anew on
those impedances: the loop is of first order in the resistances, the current on it
exact. In a lone path nothing is left out; of parallel drops the second order is:
against solving anew at the ends of the bands 1.6 % of the current at most in the
tests, where the band itself is a tenth either way. How several devices share a short
is held, and so are inductances: they follow from lengths and spacing, not from alloy
and joints.

Sources
-------
.. [1] S. W. Director, R. A. Rohrer, The generalized adjoint network and network
   sensitivities, IEEE Trans. Circuit Theory 16 (1969), 318-323.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.analysis.bands import Spreads, spreads_of
from core.analysis.breakdown import Point, rail_branches, unit_pushes
from core.analysis.lamps import heated
from core.analysis.selected import Numbers
from core.analysis.shorts import HARMONICS, OMEGAS, short_currents
from core.analysis.study import Clearing, Floats, Study

SOLVED = np.array([HARMONICS, 0, HARMONICS + 1, 1])
"""The harmonics at which shares are solved, by frequency: the first two of zeros and
ones. Between them what a kind adds is interpolated; those above, which are left little
of the current, have that of the last."""

TOGETHER = 4
"""So many places are solved at once: more at a time are slower, not faster."""

_KNOTS = OMEGAS[SOLVED]


@dataclass(frozen=True, slots=True)
class ShortBand:
    """Least and most of a short current as it is sensed, over its own figure. [1]"""

    low: float
    high: float

    def margins(self, by: Clearing, free: float) -> tuple[float, float]:
        """Return the least and most margin of a device. [1]

        Parameters
        ----------
        free : float
            Its margin, were there no limit of the booster. [1]
        """
        most = by.margin(float("inf")) if by.limit_a is not None else float("inf")
        return min(free * self.low, most), min(free * self.high, most)


def short_bands(
    study: Study, points: Sequence[Point], sensing: Sequence[str]
) -> tuple[ShortBand, ...]:
    """Return the bands of short currents at fed points, each sensed in its own way."""
    spreads = spreads_of(study.circuit)
    found: list[ShortBand] = []
    for first in range(0, len(points), TOGETHER):
        some = points[first : first + TOGETHER]
        low, high = _slopes(study, some, spreads)
        for column, point in enumerate(some):
            ends = np.stack([low[..., column], high[..., column]])
            found.append(_band(study, point, ends, sensing[first + column]))
    return tuple(found)


def margin_bands(
    study: Study, points: Sequence[Point]
) -> tuple[tuple[float, float], ...]:
    """Return the least and most margin of shorts that some device clears. [1]"""
    index = np.array([point.segment for point in points], np.int64)
    t = np.array([point.t for point in points], np.float64)
    # Without the limits of boosters: these hold whatever the wiring lets through.
    free = study.trips_at(index, t, limits=False)
    guards = [study.guards[i] for i in study.trips_at(index, t).by.tolist()]
    bands = short_bands(study, points, [guard.sensing for guard in guards])
    return tuple(
        band.margins(guard, margin)
        for band, guard, margin in zip(bands, guards, free.margin.tolist(), strict=True)
    )


def _slopes(
    study: Study, points: Sequence[Point], spreads: Spreads
) -> tuple[Numbers, Numbers]:
    """Return what each kind at the ends of its band adds to impedances.

    Shape (kinds, 16, P) each. [Ω].
    """
    assert study.waves is not None, "fed track has waves"
    system = study.system
    count = len(system.circuit.branches)
    unsure = (spreads.low != 0.0) | (spreads.high != 0.0)
    own = np.flatnonzero(unsure & system.active[:count])
    pushes = unit_pushes(study, points)[:-1]
    rows = study.waves.factor.some(SOLVED).solve_every(pushes)
    rows = np.concatenate([rows, np.zeros_like(rows[:1])])
    ohm = system.ohm[own]
    z = ohm[:, None] + 1j * _KNOTS * system.henry[own][:, None]
    share = (rows[system.tail[own]] - rows[system.head[own]]) / z[:, :, None]
    by_ohm = (ohm[:, None, None] * share**2).reshape(len(own), -1)
    kinds = np.zeros((int(spreads.kinds.max(initial=0)) + 1, len(own)))
    kinds[spreads.kinds[own], np.arange(len(own))] = 1.0
    inside = _inside(study, points, len(kinds), spreads)
    shape = (len(kinds), len(_KNOTS), len(points))
    low, high = (
        _between(((kinds * end[own]) @ by_ohm).reshape(shape)) + more[:, None, :]
        for end, more in zip((spreads.low, spreads.high), inside, strict=True)
    )
    return low, high


def _between(knots: Numbers) -> Numbers:
    """Return figures at `OMEGAS` from those at `SOLVED`."""
    after = np.clip(np.searchsorted(_KNOTS, OMEGAS), 1, len(_KNOTS) - 1)
    start, end = _KNOTS[after - 1], _KNOTS[after]
    t = np.clip((OMEGAS - start) / (end - start), 0.0, 1.0)[None, :, None]
    return np.asarray((1.0 - t) * knots[:, after - 1] + t * knots[:, after])


def _inside(
    study: Study, points: Sequence[Point], kinds: int, spreads: Spreads
) -> tuple[Floats, Floats]:
    """Return t(1 − t)·R of the two rails of each point's segment, by kind. [Ω]"""
    low, high = np.zeros((kinds, len(points))), np.zeros((kinds, len(points)))
    for column, point in enumerate(points):
        for i in rail_branches(study, point):
            ohm = point.t * (1.0 - point.t) * study.system.ohm[i]
            low[spreads.kinds[i], column] += ohm * spreads.low[i]
            high[spreads.kinds[i], column] += ohm * spreads.high[i]
    return low, high


def _band(study: Study, point: Point, ends: Numbers, sensing: str) -> ShortBand:
    """Return the band at a point from the ends of each kind, (2, kinds, 16)."""
    assert study.waves is not None, "fed track has waves"
    where = np.array([point.segment]), np.array([point.t])
    volts = study.scan.driven_at(point.segment, point.t)
    every = study.waves.impedance(*where)
    if lamps := study.lamps[point.segment]:
        every = heated(np.array([volts]), every, [lamps])
    impedance = every[0]

    def sensed(some: Numbers) -> Floats:
        amps = short_currents(np.full(len(some), volts), some).sensed(sensing)
        return np.asarray(amps, np.float64)

    flat = ends.reshape(-1, len(OMEGAS))
    moved = sensed(np.concatenate([impedance[None], impedance + flat]))
    now, each = moved[0], moved[1:].reshape(ends.shape[:2])
    column = np.arange(ends.shape[1])
    worst = ends[each.argmin(axis=0), column][each.min(axis=0) < now].sum(axis=0)
    best = ends[each.argmax(axis=0), column][each.max(axis=0) > now].sum(axis=0)
    low, high = sensed(np.stack([impedance + worst, impedance + best]))
    if now <= 0.0:
        return ShortBand(1.0, 1.0)
    return ShortBand(float(low / now), float(high / now))
