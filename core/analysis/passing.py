"""What diode detectors do at each place: with the test train there, or a short.

What they do under the standing loads where a draw at every track has just begun
holds in the equations of a study: blocked ones are out, the others hold their drop.
From there on:

* **Exact.** With the test train at the lowest place of each segment, with a short by
  resistance at its weakest, and with both at a probed place, the detectors are
  settled anew: the train may bring a blocked one to conduct, or one that conducts
  to block or to turn round.
* **First order.** The rest of a segment takes the state of that place; loads draw
  what they draw without the train; bands leave the state as it is, and so does one
  connection opened, unless it would leave track dead that a detector leads round.
  In the harmonics of a short a conducting detector is a constant drop against a
  square wave and a blocked one is open: exact where inductance does not bend the wave.
  Where it does, the drop turns with the current, later than the wave, and what truly
  flows is more than is told: by 3 % on 12 m of twisted pair and 7 % on 40 m of loose
  (ngspice), on the side of too weak a short.

All is done in the small space of the detectors, on the factors that are there. With
all of them conducting without loss let the volts at a place be v and its loop L, and
let c be what one ampere drawn there takes through each. What they hold, e, and a
current I then leave v − I·L − cᵀe. With those of B blocked, e_B = M(i₀ + I·c − Ke)_B
and M = K_BB⁻¹: the loop becomes L + c_BᵀMc_B.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from core.analysis.diodes import TOLERANCE_A, Diodes, State, Truths
from core.analysis.nodal import Solution
from core.analysis.ordering import Ints
from core.analysis.scan import Scan, across_ends
from core.analysis.selected import Pattern
from core.analysis.settled import Settled
from core.analysis.shorts import Waves, solve_waves
from core.analysis.system import Floats, System, segment_rows

ROUNDS = 4
"""How often places and states are sought in turn; two do but for rare layouts."""

HALVINGS = 80
"""Most steps to the current of a short; half of them halve what is left."""


@dataclass(frozen=True, slots=True)
class Free:
    """The circuit with all detectors conducting without loss, under some loads.

    Attributes
    ----------
    amps : float64 array, shape (k,)
        i₀ of the detectors. [A]
    volts0, volts1 : float64 arrays, shape (S,)
        At the two ends of each segment. [V]
    """

    amps: Floats
    volts0: Floats
    volts1: Floats


@dataclass(frozen=True, slots=True)
class States:
    """Which state holds at each segment: `which`, shape (S,), numbers `known`."""

    known: tuple[State, ...]
    which: Ints

    def at(self, segment: int) -> State:
        """Return the state at a segment."""
        return self.known[int(self.which[segment])]

    def put(self, segment: int, state: State) -> "States":
        """Return the same with another state at a segment."""
        which, known = self.which.copy(), self.known
        number = next((n for n, one in enumerate(known) if one.same(state)), None)
        if number is None:
            number, known = len(known), (*known, state)
        which[segment] = number
        return States(known, which)


@dataclass(frozen=True)
class Passing:
    """The detectors at every place of the track.

    Attributes
    ----------
    diodes : Diodes
        The detectors.
    ways0, ways1 : float64 arrays, shape (S, k)
        What one ampere drawn at the ends of a segment takes through each. [1]
    loops : float64 array, shape (3, S)
        As `loop_terms`, all conducting. [Ω]
    rails : float64 array, shape (S,)
        Of both rails of each segment. [Ω]
    still, standing : Free
        Without loads, and with the standing ones.
    trains, coins : States
        With the test train, and with a short.
    """

    diodes: Diodes
    ways0: Floats
    ways1: Floats
    loops: Floats
    rails: Floats
    still: Free
    standing: Free
    trains: States
    coins: States
    known_waves: dict[bytes, Waves] = field(default_factory=dict)

    @property
    def onset(self) -> State:
        """What holds in the equations of the study."""
        return self.trains.known[0]

    def way(self, segment: int, t: float) -> Floats:
        """Return what one ampere drawn at a place takes through each, shape (k,)."""
        way: Floats = (1.0 - t) * self.ways0[segment] + t * self.ways1[segment]
        return way

    def terms(
        self, state: State, free: Free, which: Ints
    ) -> tuple[Floats, Floats, Floats]:
        """Return volts at both ends of segments and their loop terms, in a state."""
        held = self.diodes.held(state, free.amps)
        volts0 = free.volts0[which] - self.ways0[which] @ held
        volts1 = free.volts1[which] - self.ways1[which] @ held
        own = np.flatnonzero(state.blocked)
        if not len(own):
            return volts0, volts1, self.loops[:, which]
        inverse = np.linalg.inv(self.diodes.taken[np.ix_(own, own)])
        start, end = self.ways0[np.ix_(which, own)], self.ways1[np.ix_(which, own)]
        more = [
            np.einsum("sb,bc,sc->s", a, inverse, b)
            for a, b in ((start, start), (start, end), (end, end))
        ]
        return volts0, volts1, self.loops[:, which] + np.stack(more)

    def with_train(self, segment: int, t: float, amps: float, start: State) -> State:
        """Return what they do with the test train at a place."""
        drawn = self.standing.amps + amps * self.way(segment, t)
        return self.diodes.settle(drawn, start.volts)

    def with_coin(self, segment: int, t: float, start: State) -> State:
        """Return what they do with a short at a place.

        The volts left there fall as the current grows, in straight pieces: Newton,
        halving where a step leaves what is known to hold the root.
        """
        way, free = self.way(segment, t), self.still
        volts = (1.0 - t) * free.volts0[segment] + t * free.volts1[segment]
        a, cross, b = self.loops[:, segment]
        loop = (1 - t) ** 2 * a + 2 * t * (1 - t) * cross + t**2 * b
        loop += t * (1 - t) * self.rails[segment]
        least, most = 0.0, np.inf
        state, amps = start, self._root(start, segment, t)
        for _ in range(HALVINGS):
            state = self.diodes.settle(free.amps + amps * way, state.volts)
            left = float(volts - amps * loop - way @ state.volts)
            if abs(left) <= 1e-9 * abs(volts):
                break
            least, most = (amps, most) if left > 0.0 else (least, amps)
            amps = self._root(state, segment, t)
            if not least < amps < most:
                amps = 0.5 * (least + most) if np.isfinite(most) else 2.0 * least + 1.0
        return state

    def waves(self, pattern: Pattern) -> Waves:
        """Return the impedances of every segment, detectors as in a short there."""
        merged: Waves | None = None
        for number, state in enumerate(self.coins.known):
            here = np.flatnonzero(self.coins.which == number)
            if not len(here):
                continue
            key = state.blocked.tobytes()
            own = self.known_waves.get(key)
            if own is None:
                own = solve_waves(self.diodes.hold(state), pattern)
                self.known_waves[key] = own
            if merged is None:
                merged = Waves(own.terms.copy(), own.rails, own.factor)
            merged.terms[:, here] = own.terms[:, here]
        assert merged is not None, "where there are detectors there is track"
        return merged

    def restated(
        self, states: States, free: Free, usable: Ints, draws: tuple[Floats, Floats]
    ) -> Ints:
        """Return which segments' states do not hold with amps drawn at fractions.

        `draws` are the fractions and the amps, shape (S,) each.
        """
        t, drawn = draws
        wrong: list[Ints] = []
        for number, state in enumerate(states.known):
            here = usable[states.which[usable] == number]
            ways = (1.0 - t[here, None]) * self.ways0[here] + t[here, None] * (
                self.ways1[here]
            )
            pushed = free.amps + drawn[here, None] * ways
            wrong.append(here[~self._holds(state, pushed)])
        return np.concatenate(wrong)

    def _holds(self, state: State, pushed: Floats) -> Truths:
        """Return whether a state agrees with currents i₀, shape (P, k)."""
        diodes, out = self.diodes, state.blocked
        volts = np.tile(np.where(out, 0.0, state.volts), (len(pushed), 1))
        if out.any():
            left = pushed[:, out] - volts[:, ~out] @ diodes.taken[np.ix_(~out, out)]
            inverse = np.linalg.inv(diodes.taken[np.ix_(out, out)])
            volts[:, out] = left @ inverse
        amps = pushed - volts @ diodes.taken
        way = np.sign(state.volts)
        right = np.where(
            way != 0.0, way * amps >= -TOLERANCE_A, np.abs(amps) <= TOLERANCE_A
        )
        below = np.abs(volts) <= diodes.drops * (1.0 + 1e-9)
        return np.asarray(np.where(out, below, right).all(axis=1), np.bool_)

    def _root(self, state: State, segment: int, t: float) -> float:
        """Return the current of a short at a place in a state. [A]"""
        volts0, volts1, loops = self.terms(state, self.still, np.array([segment]))
        a, cross, b = loops[:, 0]
        loop = (1 - t) ** 2 * a + 2 * t * (1 - t) * cross + t**2 * b
        loop += t * (1 - t) * self.rails[segment]
        return max(float(((1.0 - t) * volts0 + t * volts1)[0] / loop), 0.0)


def pass_track(base: System, settled: Settled, scan: Scan) -> tuple[Passing, Scan]:
    """Return the detectors at every place, and the scan with what they change.

    Parameters
    ----------
    base : System
        All detectors conducting without a loss.
    settled : Settled
        The circuit under its standing loads.
    scan : Scan
        Of the circuit held as at the onset.
    """
    diodes = settled.diodes
    start, end = across_ends(base, settled.source)
    sign = np.where(start + end < 0.0, -1.0, 1.0)
    rows = segment_rows(base)
    padded = np.vstack([diodes.columns, np.zeros(len(diodes.edges))])
    scale = -sign[:, None] * diodes.siemens
    everywhere = np.zeros(len(rows), np.int64)
    states = States((settled.onset,), everywhere)
    passing = Passing(
        diodes=diodes,
        ways0=scale * (padded[rows[:, 0]] - padded[rows[:, 1]]),
        ways1=scale * (padded[rows[:, 2]] - padded[rows[:, 3]]),
        loops=np.zeros((3, len(rows))),
        rails=scan.rails,
        still=_free(base, diodes, sign, settled.free_source),
        standing=_free(base, diodes, sign, settled.free_standing),
        trains=states,
        coins=states,
    )
    all_of_it = np.arange(len(rows))
    more = passing.terms(settled.onset, passing.still, all_of_it)[2]
    loops = np.stack([scan.loop0, scan.cross, scan.loop1]) - more
    passing = replace(passing, loops=loops)
    scan = with_coins(passing, scan, states, all_of_it)
    return _places(passing, scan)


def with_trains(passing: Passing, scan: Scan, states: States, which: Ints) -> Scan:
    """Return a scan whose volts at some segments are those of their states."""
    found = [a.copy() for a in (scan.standing0, scan.standing1)]
    loops = np.stack([scan.loop0, scan.cross, scan.loop1])
    for number, state in enumerate(states.known):
        here = which[states.which[which] == number]
        found[0][here], found[1][here], loops[:, here] = passing.terms(
            state, passing.standing, here
        )
    return replace(
        scan,
        standing0=found[0],
        standing1=found[1],
        loop0=loops[0],
        cross=loops[1],
        loop1=loops[2],
    )


def with_coins(passing: Passing, scan: Scan, states: States, which: Ints) -> Scan:
    """Return a scan whose shorts at some segments are those of their states."""
    driven0, driven1 = scan.driven0.copy(), scan.driven1.copy()
    loops = scan.short_loops.copy()
    for number, state in enumerate(states.known):
        here = which[states.which[which] == number]
        driven0[here], driven1[here], loops[:, here] = passing.terms(
            state, passing.still, here
        )
    return replace(scan, driven0=driven0, driven1=driven1, short_loops=loops)


def _places(passing: Passing, scan: Scan) -> tuple[Passing, Scan]:
    """Settle the detectors at the worst places of each segment."""
    usable = np.flatnonzero(scan.fed)
    for _ in range(ROUNDS):
        t = scan.lowest_volts()[0]
        drawn = np.full(len(t), scan.train_a)
        states = passing.trains
        wrong = passing.restated(states, passing.standing, usable, (t, drawn))
        if not len(wrong):
            break
        for i in wrong.tolist():
            state = passing.with_train(i, float(t[i]), scan.train_a, states.at(i))
            states = states.put(i, state)
        passing = replace(passing, trains=states)
        scan = with_trains(passing, scan, states, wrong)
    for _ in range(ROUNDS):
        t, drawn = scan.lowest_short()
        states = passing.coins
        wrong = passing.restated(states, passing.still, usable, (t, drawn))
        if not len(wrong):
            break
        for i in wrong.tolist():
            states = states.put(i, passing.with_coin(i, float(t[i]), states.at(i)))
        passing = replace(passing, coins=states)
        scan = with_coins(passing, scan, states, wrong)
    return passing, scan


def _free(base: System, diodes: Diodes, sign: Floats, solution: Solution) -> Free:
    start, end = across_ends(base, solution)
    return Free(solution.amps[diodes.edges], sign * start, sign * end)
