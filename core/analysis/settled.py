"""A circuit with diode detectors, settled: what they and the loads do together."""

from dataclasses import dataclass

import numpy as np

from core.analysis.diodes import Blocking, Diodes, State
from core.analysis.loads import Drawn, solve_loads
from core.analysis.nodal import Nodal, Solution
from core.analysis.scan import across_ends
from core.analysis.system import Floats, System, segment_rows
from core.errors import UnsettledError

MOST_ROUNDS = 20
"""Rounds of loads and detectors before they are called unsettled."""

BEGIN_A = 0.01
"""Drawn by all track together to ask what a draw would begin with. [A]"""

HEAVY_A = 1e4
"""Drawn by all track together to have every way conduct that can. [A]"""


@dataclass(frozen=True, slots=True)
class Settled:
    """A circuit with detectors under its standing loads.

    Attributes
    ----------
    diodes : Diodes
        The detectors.
    source, standing : Solution
        Without loads, and with the standing ones. Where no current passes a
        detector, no volts are lost in it.
    drawn : Drawn
        What the loads draw.
    onset : State
        What the detectors do under the standing loads where a draw at every track
        has just begun.
    beginning : Solution
        The standing loads, detectors as at the onset.
    free_source, free_standing : Solution
        The same two with all detectors conducting without a loss.
    """

    diodes: Diodes
    source: Solution
    standing: Solution
    drawn: Drawn
    onset: State
    beginning: Solution
    free_source: Solution
    free_standing: Solution


def settle_circuit(base: System, nodal: Nodal, diodes: Diodes) -> Settled:
    """Return a circuit settled.

    Each round the loads are drawn with the detectors as they are, then the
    detectors are settled for that draw, until they stay. With loads of constant
    amps the second round confirms the first.

    Raises
    ------
    UnsettledError
        Loads of constant watts and detectors chase each other past `MOST_ROUNDS`.
    """
    bench = _Bench(base, nodal, diodes)
    free = nodal.solve()
    still = diodes.settle(free.amps[diodes.edges], np.zeros(len(diodes.edges)))
    source = nodal.solve(drop=bench.drop(still.volts))
    state, drawn = bench.load(free, still)
    draw = bench.draw(source)
    if drawn.starved and state.blocked.any():
        amps = free.amps[diodes.edges] + HEAVY_A * draw
        other, more = bench.load(free, diodes.settle(amps, state.volts))
        if len(more.starved) < len(drawn.starved):
            state, drawn = other, more
    loaded = nodal.solve(drawn.injection)
    amps = loaded.amps[diodes.edges]
    begun = diodes.settle(amps + BEGIN_A * draw, state.volts)
    onset = diodes.settle(amps, begun.volts)
    quiet = diodes.settle(amps, np.zeros(len(amps)))
    return Settled(
        diodes=diodes,
        source=source,
        standing=nodal.solve(drawn.injection, drop=bench.drop(quiet.volts)),
        drawn=drawn,
        onset=onset,
        beginning=nodal.solve(drawn.injection, drop=bench.drop(onset.volts)),
        free_source=free,
        free_standing=loaded,
    )


class _Bench:
    """A circuit, its factors and its detectors."""

    def __init__(self, base: System, nodal: Nodal, diodes: Diodes) -> None:
        self._base, self._nodal, self._diodes = base, nodal, diodes

    def drop(self, volts: Floats) -> Floats:
        """Return volts held by the detectors as those of all edges. [V]"""
        drop = np.zeros(len(self._base.ohm))
        drop[self._diodes.edges] = volts
        return drop

    def load(self, free: Solution, state: State) -> tuple[State, Drawn]:
        """Return the detectors and the loads as they settle from a state."""
        diodes, nodal = self._diodes, self._nodal
        for _ in range(MOST_ROUNDS):
            held = diodes.held(state, free.amps[diodes.edges])
            bare = nodal.solve(drop=self.drop(held))
            without = Blocking(diodes, nodal, state.blocked)
            drawn = solve_loads(self._base, without, bare)
            amps = nodal.solve(drawn.injection).amps[diodes.edges]
            last, state = state, diodes.settle(amps, state.volts)
            if state.same(last):
                return state, drawn
        raise UnsettledError(diodes.parts)

    def draw(self, source: Solution) -> Floats:
        """Return the detectors' amps where all track draws one ampere together."""
        base = self._base
        start, end = across_ends(base, source)
        rows = segment_rows(base)
        pushed = np.zeros(base.size + 1)
        share = 0.5 / max(len(rows), 1)
        for volts, left, right in ((start, 0, 1), (end, 2, 3)):
            amps = share * np.sign(volts)
            np.subtract.at(pushed, rows[:, left], amps)
            np.add.at(pushed, rows[:, right], amps)
        return self._diodes.amps(self._nodal.rows(pushed[:-1]))
