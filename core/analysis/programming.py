"""Where a programming track ends, and how near the main's live rail is to it.

Asked of the layout with the change-over switch set to programming, whatever is shown.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Inline, OnRun
from core.network.approach import Reach, find_approach
from core.network.build import build_circuit
from core.network.circuit import Circuit, Segment
from core.network.live import live_nodes

Truths = NDArray[np.bool_]

SLIP_M = 0.001
"""Shorter than the engine by no more than the saw's slip (house choice). [m]"""


@dataclass(frozen=True, slots=True)
class Bridge:
    """The main's rail nearest to the programming track, as an engine runs.

    Attributes
    ----------
    switch : PartId
        The change-over switch.
    track : OnRun
        Where the programming track ends.
    main : PartId
        The run on which the main's live rail begins.
    apart_m : float
        Length of track between them: the isolation piece. [m]
    """

    switch: PartId
    track: OnRun
    main: PartId
    apart_m: float


@dataclass(frozen=True, slots=True)
class Mixed:
    """A rail that hangs on a programming output and on the main at once."""

    switch: PartId
    output: PartId
    place: OnRun


def change_overs(layout: Layout) -> Iterator[Inline]:
    """Yield the switches that change over to another feed."""
    for device in layout.of_kind(Inline):
        if device.device == "switch" and device.other is not None:
            yield device


def find_bridge(
    layout: Layout, switch: Inline, thrown: frozenset[PartId] = frozenset()
) -> Bridge | Mixed | None:
    """Return how a switch set to programming lets the main reach it, if it does.

    Metal first: a `Mixed` where one piece of metal has poles of both. Then, as an
    engine runs from the end of the programming track, the nearest live rail of the
    main closer than the longest engine of the settings.
    """
    outputs = {b.id for b in layout.of_kind(Booster) if b.use == "programming"}
    mains = {b.id for b in layout.of_kind(Booster)} - outputs
    trial = Layout({**layout.parts, switch.id: replace(switch, closed=False)})
    circuit = build_circuit(trial, loads=False, thrown=thrown)
    programmed = live_nodes(circuit, outputs)
    main = live_nodes(circuit, mains)
    rails = _rails(circuit, programmed)
    mixed = programmed & main
    if mixed.any():
        place = _first(circuit, mixed)
        if place is not None:
            return Mixed(switch.id, min(outputs), place)
    engine_m = layout.settings.engine_m
    best: Bridge | None = None
    for segment in rails:
        for at, facing in ((segment.start_m, -1), (segment.end_m, 1)):
            place = OnRun(run=segment.run, position_m=at)
            for apart, run in _live_ahead(circuit, main, layout, place, facing):
                near = apart < engine_m - SLIP_M
                if near and (best is None or apart < best.apart_m):
                    best = Bridge(switch.id, place, run, apart)
    return best


def _live_ahead(
    circuit: Circuit,
    main: Truths,
    layout: Layout,
    place: OnRun,
    facing: int,
) -> Iterator[tuple[float, PartId]]:
    """Yield how far live rail of the main begins ahead of a place, on which run."""
    most = layout.settings.engine_m
    for reach in find_approach(layout, place, facing, most):
        for i in circuit.on_run.get(reach.run, ()):
            segment = circuit.segments[i]
            if main[segment.left0] or main[segment.right0]:
                begins = _begins(segment, reach)
                if begins is not None:
                    yield begins, segment.run


def _begins(segment: Segment, reach: Reach) -> float | None:
    low = max(segment.start_m, reach.low_m)
    high = min(segment.end_m, reach.high_m)
    if high - low <= SLIP_M:
        return None
    return min(reach.gone_at(low), reach.gone_at(high))


def _rails(circuit: Circuit, live: Truths) -> list[Segment]:
    return [s for s in circuit.segments if live[s.left0] or live[s.right0]]


def _first(circuit: Circuit, mixed: Truths) -> OnRun | None:
    for segment in circuit.segments:
        if mixed[segment.left0] or mixed[segment.right0]:
            return OnRun(run=segment.run, position_m=segment.start_m)
    return None
