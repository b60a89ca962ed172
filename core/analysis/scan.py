"""The scan: every point of every track at once.

Between two nodes a rail is a uniform line, so all that a test train or a short
at fraction t of a segment can see follows from the segment's four ends. With
e0 = left0 − right0 and e1 = left1 − right1 the loop resistance is

    loop(t) = (1−t)²·e0ᵀZe0 + 2t(1−t)·e0ᵀZe1 + t²·e1ᵀZe1 + t(1−t)·(rL + rR),

Z the nodal inverse. It is a parabola that bends down; volts under a test train
are a parabola that bends up: their extremes inside a segment are closed forms.
Loads of constant watts answer the train; `hungry` says how.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from core.analysis.hungry import Hungry, Small, Truths
from core.analysis.nodal import Solution
from core.analysis.ordering import Ints
from core.analysis.selected import Numbers, Pattern
from core.analysis.system import Floats, System, segment_rows

LEAST_SOURCE_V = 0.1
"""Rails with less than this between them at no load are not fed. [V]"""


@dataclass(frozen=True, slots=True)
class Scan:
    """What every segment gets; all arrays have shape (S,), segments as in the circuit.

    Attributes
    ----------
    fed : bool array
        Whether a booster reaches both rails, with volts between them.
    source0, source1 : float64 arrays
        Volts between the rails at the two ends with no load at all. [V]
    standing0, standing1 : float64 arrays
        The same under the standing loads, as what draws there begins with: less the
        drops of detectors that it draws through. [V]
    loop0, cross, loop1 : float64 arrays
        e0ᵀZe0, e0ᵀZe1 and e1ᵀZe1. [Ω]
    rails : float64 array
        Resistance of both rails of the segment, rL + rR. [Ω]
    train_a : float
        Amps of the test train. [A]
    driven0, driven1 : float64 arrays
        Volts that drive a short: those at no load less the drops of detectors that
        it goes through. [V]
    short_loops : float64 array, shape (3, S)
        As loop0, cross and loop1, with the detectors as in a short. [Ω]
    hungry : Hungry or None
        The loads of constant watts, which answer the train; None without any.
    """

    fed: NDArray[np.bool_]
    source0: Floats
    source1: Floats
    standing0: Floats
    standing1: Floats
    loop0: Floats
    cross: Floats
    loop1: Floats
    rails: Floats
    train_a: float
    driven0: Floats
    driven1: Floats
    short_loops: Floats
    hungry: Hungry | None = None

    def loop_at(self, segment: int, t: float) -> float:
        """Return the loop resistance at fraction t of a segment. [Ω]."""
        a, b, c = self._loop_terms(segment)
        return float(a + t * (b + t * c))

    def standing_at(self, segment: int, t: float) -> float:
        """Return volts under the standing loads at fraction t. [V]."""
        return float((1.0 - t) * self.standing0[segment] + t * self.standing1[segment])

    def source_at(self, segment: int, t: float) -> float:
        """Return volts at no load at fraction t. [V]."""
        return float((1.0 - t) * self.source0[segment] + t * self.source1[segment])

    def volts_at(self, segment: int, t: float) -> float:
        """Return volts with the test train at fraction t, on top of the loads. [V].

        Nothing where the train there starves a load; see `volts_of`.
        """
        return float(self.volts_of(np.array([segment]), np.array([t]))[0])

    def volts_of(self, segments: Ints, t: Floats) -> Floats:
        """Return volts with the test train at fractions t of segments. [V].

        Loads of constant watts are solved anew for each place. Where the train
        starves one of them no volts can be told: nothing is left, 0.
        """
        standing = (1.0 - t) * self.standing0[segments] + t * self.standing1[segments]
        a, b, c = self._loop_terms(segments)
        volts = np.asarray(standing - self.train_a * (a + t * (b + t * c)), np.float64)
        if self.hungry is None:
            return volts
        taken, starved = self.hungry.taken(segments, t, self.train_a)
        return np.where(starved & self.fed[segments], 0.0, volts - taken)

    def starves_at(self, segment: int, t: float) -> bool:
        """Return whether the test train at fraction t of a segment starves a load."""
        return bool(self.starving(np.array([segment]), np.array([t]))[0])

    def starving(self, segments: Ints, t: Floats) -> Truths:
        """Return whether the test train at fractions t of segments starves a load."""
        if self.hungry is None:
            return np.zeros(len(t), np.bool_)
        starved = self.hungry.taken(segments, t, self.train_a)[1]
        return np.asarray(starved & self.fed[segments], np.bool_)

    def driven_at(self, segment: int, t: float) -> float:
        """Return the volts that drive a short at fraction t. [V]."""
        return float((1.0 - t) * self.driven0[segment] + t * self.driven1[segment])

    def short_loop_at(self, segment: int, t: float) -> float:
        """Return the loop resistance that a short at fraction t meets. [Ω]."""
        a, b, c = self._short_terms(segment)
        return float(a + t * (b + t * c))

    def short_at(self, segment: int, t: float) -> float:
        """Return the short-circuit current at fraction t by resistance alone. [A]."""
        return self.driven_at(segment, t) / self.short_loop_at(segment, t)

    def highest_loop(self) -> tuple[Floats, Floats]:
        """Return where each segment's loop is highest, and how high: t, Ω."""
        a, b, c = self._loop_terms()
        t = _vertex(b, c)
        inside = a + t * (b + t * c)
        return _pick(t, (inside, self.loop0, self.loop1), highest=True)

    def lowest_volts(self) -> tuple[Floats, Floats]:
        """Return where each segment's volts with the test train are lowest: t, V.

        With loads of constant watts the place is that of the first order, the
        volts those of `volts_of`.
        """
        a, b, c = self._loop_terms(slice(None), answering=True)
        slope = self.standing1 - self.standing0 - self.train_a * b
        bend = -self.train_a * c
        t = _vertex(slope, bend)
        start = self.standing0 - self.train_a * a
        inside = start + t * (slope + t * bend)
        places, lowest = _pick(t, (inside, start, start + slope + bend), highest=False)
        if self.hungry is None:
            return places, lowest
        return places, self.volts_of(np.arange(len(places)), places)

    def lowest_short(self) -> tuple[Floats, Floats]:
        """Return where each segment's resistive short current is lowest: t, A.

        The current is u(t)/l(t), u a line and l a parabola; its slope vanishes
        where u'·l − u·l' = 0, a quadratic in t.
        """
        a, b, c = self._short_terms()
        u0, du = self.driven0, self.driven1 - self.driven0
        roots = _roots(-du * c, -2.0 * u0 * c, du * a - u0 * b)
        best_t, best = np.zeros_like(a), u0 / np.where(self.fed, a, 1.0)
        for t in (*roots, np.ones_like(a)):
            t_in = np.clip(t, 0.0, 1.0)
            loop = a + t_in * (b + t_in * c)
            amps = (u0 + t_in * du) / np.where(self.fed, loop, 1.0)
            better = amps < best
            best_t = np.where(better, t_in, best_t)
            best = np.where(better, amps, best)
        return best_t, np.where(self.fed, best, np.nan)

    def _loop_terms(
        self, segment: int | slice | Ints = slice(None), *, answering: bool = False
    ) -> tuple[Floats, ...]:
        """Return a, b, c of loop(t) = a + b·t + c·t²; with the loads answering."""
        a, cross, end = (x[segment] for x in (self.loop0, self.cross, self.loop1))
        if answering and self.hungry is not None:
            more = self.hungry.loops()
            a, cross, end = (
                own + m[segment] for own, m in zip((a, cross, end), more, strict=True)
            )
        return _parabola((a, cross, end), self.rails[segment])

    def _short_terms(self, segment: int | slice = slice(None)) -> tuple[Floats, ...]:
        """Return a, b, c of the loop that a short meets."""
        terms = self.short_loops[:, segment]
        return _parabola((terms[0], terms[1], terms[2]), self.rails[segment])


def _parabola(ends: tuple[Floats, Floats, Floats], rails: Floats) -> tuple[Floats, ...]:
    """Return a, b, c of a + b·t + c·t² from e0ᵀZe0, e0ᵀZe1, e1ᵀZe1 and the rails."""
    a, cross, end = ends
    return a, 2.0 * (cross - a) + rails, a + end - 2.0 * cross - rails


def loop_terms(system: System, pattern: Pattern, inverse: Numbers) -> Numbers:
    """Return e0ᵀZe0, e0ᵀZe1 and e1ᵀZe1 of every segment, shape (3, S, K)."""
    ends = segment_rows(system)
    slots = pattern.keep("ends", ends.tobytes(), partial(_end_slots, ends, pattern))

    def entry(a: int, b: int) -> Numbers:
        found: Numbers = inverse[slots[a, b]]
        return found

    def form(a: int, b: int) -> Numbers:
        left_a, right_a, left_b, right_b = 2 * a, 2 * a + 1, 2 * b, 2 * b + 1
        return (
            entry(left_a, left_b)
            - entry(left_a, right_b)
            - entry(right_a, left_b)
            + entry(right_a, right_b)
        )

    return np.stack([form(0, 0), form(0, 1), form(1, 1)])


def _end_slots(ends: Ints, pattern: Pattern) -> Ints:
    """Return the slots of all pairs of each segment's ends, shape (4, 4, S)."""
    a, b = np.indices((4, 4))
    return pattern.slot(ends.T[a], ends.T[b])


def scan_track(
    system: System,
    loops: Numbers,
    *,
    source: Solution,
    standing: Solution,
    train_a: float,
    small: Small | None = None,
) -> Scan:
    """Return the scan of a circuit.

    Parameters
    ----------
    loops : float64 array, shape (3, S)
        From `loop_terms`, at zero frequency. [Ω]
    source, standing : Solution
        The circuit without loads, and with the standing ones.
    train_a : float
        Amps of the train tried at every point. [A]
    small : Small, optional
        The loads of constant watts.
    """
    circuit = system.circuit
    together = _together(system)
    source0, source1 = across_ends(system, source)
    standing0, standing1 = across_ends(system, standing)
    sign = np.where(source0 + source1 < 0.0, -1.0, 1.0)
    fed = together & (np.minimum(sign * source0, sign * source1) > LEAST_SOURCE_V)
    return Scan(
        fed=fed,
        source0=sign * source0,
        source1=sign * source1,
        standing0=sign * standing0,
        standing1=sign * standing1,
        loop0=loops[0],
        cross=loops[1],
        loop1=loops[2],
        rails=np.array([s.ohm_left + s.ohm_right for s in circuit.segments]),
        train_a=train_a,
        driven0=sign * source0,
        driven1=sign * source1,
        short_loops=loops,
        hungry=_hungry(system, small, sign, together) if small else None,
    )


def _hungry(system: System, small: Small, sign: Floats, together: Truths) -> Hungry:
    """Return the loads of constant watts as the ends of every segment see them."""
    rows = segment_rows(system)
    padded = np.vstack([small.columns, np.zeros(len(small.watts))])
    scale = np.where(together, -sign, 0.0)[:, None]
    left0, right0, left1, right1 = (padded[rows[:, i]] for i in range(4))
    return Hungry(small, scale * (left0 - right0), scale * (left1 - right1))


def across_ends(system: System, solution: Solution) -> tuple[Floats, Floats]:
    """Return volts from left to right at the two ends of every segment.

    Zero where the ends do not all hang on one live island.
    """
    together = _together(system)
    volts = solution.volts[system.circuit.ends]
    zero = np.zeros(len(together))
    return (
        np.where(together, volts[:, 0] - volts[:, 1], zero),
        np.where(together, volts[:, 2] - volts[:, 3], zero),
    )


def _together(system: System) -> NDArray[np.bool_]:
    ends = system.circuit.ends
    label = system.islands.label[ends]
    live = system.islands.live[ends[:, 0]]
    return np.asarray((label == label[:, :1]).all(axis=1) & live, np.bool_)


def _vertex(b: Floats, c: Floats) -> Floats:
    """Return where b·t + c·t² turns, held inside 0 to 1."""
    safe = np.where(c == 0.0, 1.0, c)
    return np.clip(np.where(c == 0.0, 0.0, -b / (2.0 * safe)), 0.0, 1.0)


def _pick(
    t: Floats, values: tuple[Floats, Floats, Floats], *, highest: bool
) -> tuple[Floats, Floats]:
    """Return place and value of the best of inside, start and end."""
    stacked = np.stack(values)
    which = stacked.argmax(axis=0) if highest else stacked.argmin(axis=0)
    places = np.stack([t, np.zeros_like(t), np.ones_like(t)])
    column = np.arange(len(t))
    return places[which, column], stacked[which, column]


def _roots(a: Floats, b: Floats, c: Floats) -> tuple[Floats, Floats]:
    """Return the real roots of a·t² + b·t + c, 0 where there are none."""
    square = b * b - 4.0 * a * c
    root = np.sqrt(np.maximum(square, 0.0))
    q = -0.5 * (b + np.where(b < 0.0, -root, root))
    real = square >= 0.0
    first = np.where(real & (a != 0.0), q / np.where(a == 0.0, 1.0, a), 0.0)
    second = np.where(real & (q != 0.0), c / np.where(q == 0.0, 1.0, q), 0.0)
    return first, second
