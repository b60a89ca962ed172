"""What stays live at the edges of an opening while it is open; what feeds its section.

Not what the present case shows: both are asked of the layout itself.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import OpeningEdge, edges_of, holds, side_of
from core.layout.parts import Edge, OnRun, Opening, TrackRun
from core.network.approach import Reach, find_approach
from core.network.build import build_circuit
from core.network.circuit import Circuit, Segment
from core.network.live import live_nodes

APPROACH_M = 0.9
"""Track before an open edge that must be dead. [m]

Common practice, no source: long enough for a train at speed to stop.
"""

SLIP_M = 0.001
"""Live rail no longer than this at the far end is the saw's slip (house choice). [m]"""

Live = Literal["left", "right", "both"]


@dataclass(frozen=True, slots=True)
class LiveApproach:
    """Rail before an edge that is live while the opening is open.

    Attributes
    ----------
    edge : OpeningEdge
        The edge.
    side : Edge
        On which side of the opening it lies.
    run : PartId
        The run that is live.
    rails : "left", "right" or "both"
        Which rails of it.
    near_m, far_m : float
        From where to where, measured along the track from the edge. [m]
    """

    edge: OpeningEdge
    side: Edge
    run: PartId
    rails: Live
    near_m: float
    far_m: float


@dataclass(frozen=True, slots=True)
class DeadStretch:
    """Rail of a section that no jumper feeds; positions on the run. [m]"""

    run: PartId
    start_m: float
    end_m: float
    rails: Live


def live_approaches(
    layout: Layout, opening: Opening, thrown: frozenset[PartId] = frozenset()
) -> tuple[LiveApproach, ...]:
    """Return the rail within APPROACH_M of an open edge that is still live.

    Each run, set of rails and edge once, from the nearest place to the farthest.
    """
    circuit = build_circuit(
        layout, loads=False, thrown=thrown, opened=frozenset({opening.id})
    )
    live = live_nodes(circuit).tolist()
    found: dict[tuple[OpeningEdge, PartId, Live], LiveApproach] = {}
    for edge in edges_of(layout, opening):
        side = side_of(layout, opening, edge)
        for reach in find_approach(layout, edge.on, edge.facing, APPROACH_M):
            for segment in _within(circuit, reach):
                rails = _live_rails(segment, live)
                if rails is None or _is_on_section(opening, segment, reach):
                    continue
                near, far = _how_far(segment, reach)
                key = (edge, segment.run, rails)
                if key in found:
                    near = min(near, found[key].near_m)
                    far = max(far, found[key].far_m)
                found[key] = LiveApproach(edge, side, segment.run, rails, near, far)
    return tuple(found.values())


def dead_stretches(
    layout: Layout, opening: Opening, thrown: frozenset[PartId] = frozenset()
) -> tuple[DeadStretch, ...]:
    """Return the rail of a section that nothing feeds while the opening is shut.

    Rails end at its edges, so what is live here is fed by its own drops.
    """
    circuit = build_circuit(layout, loads=False, thrown=thrown)
    live = live_nodes(circuit).tolist()
    found: list[DeadStretch] = []
    for carried in opening.carries:
        run = layout.get(carried.run, TrackRun)
        if run is None or carried.to_m <= carried.from_m:
            continue
        high = min(carried.to_m, run_path(run).length_m)
        for segment in _within(circuit, Reach(run.id, carried.from_m, high, 0.0)):
            dead = _dead_rails(segment, live)
            if dead is None:
                continue
            stretch = DeadStretch(run.id, segment.start_m, segment.end_m, dead)
            last = found[-1] if found else None
            if last is not None and _goes_on(last, stretch):
                stretch = DeadStretch(run.id, last.start_m, stretch.end_m, dead)
                found.pop()
            found.append(stretch)
    return tuple(found)


def _within(circuit: Circuit, reach: Reach) -> Iterator[Segment]:
    """Yield the segments of which more than a slip lies in a stretch."""
    for i in circuit.on_run.get(reach.run, ()):
        segment = circuit.segments[i]
        low = max(segment.start_m, reach.low_m)
        high = min(segment.end_m, reach.high_m)
        if high - low > SLIP_M:
            yield segment


def _live_rails(segment: Segment, live: list[bool]) -> Live | None:
    left, right = live[segment.left0], live[segment.right0]
    return "both" if left and right else "left" if left else "right" if right else None


def _dead_rails(segment: Segment, live: list[bool]) -> Live | None:
    left, right = not live[segment.left0], not live[segment.right0]
    return "both" if left and right else "left" if left else "right" if right else None


def _is_on_section(opening: Opening, segment: Segment, reach: Reach) -> bool:
    low = max(segment.start_m, reach.low_m)
    high = min(segment.end_m, reach.high_m)
    middle = OnRun(run=segment.run, position_m=(low + high) / 2.0)
    return holds(opening, middle)


def _how_far(segment: Segment, reach: Reach) -> tuple[float, float]:
    low = max(segment.start_m, reach.low_m)
    high = min(segment.end_m, reach.high_m)
    near, far = sorted((reach.gone_at(low), reach.gone_at(high)))
    return near, far


def _goes_on(last: DeadStretch, now: DeadStretch) -> bool:
    same = (last.run, last.rails) == (now.run, now.rails)
    return same and abs(last.end_m - now.start_m) < SLIP_M
