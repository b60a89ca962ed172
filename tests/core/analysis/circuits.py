"""Small circuits put together by hand, for tests."""

from collections.abc import Iterable

import numpy as np

from core.analysis.system import System, build_system
from core.layout.ids import PartId
from core.network.assembly import Assembly
from core.network.circuit import BranchKind, Circuit, Segment, Source, Stretch

WIRE = PartId("W1")


def bench(nodes: int) -> Assembly:
    """Return a bench with that many nodes and nothing between them."""
    made = Assembly()
    for i in range(nodes):
        made.node(PartId(f"N{i}"), 0.0, "A")
    return made


def resistors(
    nodes: int,
    branches: Iterable[tuple[int, int, float]],
    sources: Iterable[tuple[int, int, float, float]],
    henries: Iterable[float] = (),
    segments: Iterable[tuple[int, int, int, int]] = (),
) -> Circuit:
    """Return a circuit of (tail, head, ohm) and sources (plus, minus, volts, ohm).

    Segments name left0, right0, left1, right1; their rails must be branches.
    """
    made = bench(nodes)
    inductances = list(henries)
    for i, (a, b, ohm) in enumerate(branches):
        made.connect(
            BranchKind.RAIL,
            (a, b),
            ohm,
            of=Stretch(WIRE),
            henry=inductances[i] if inductances else 0.0,
        )
    for plus, minus, volts, ohm in sources:
        made.sources.append(Source(plus, minus, volts, ohm, PartId("PB1")))
    for left0, right0, left1, right1 in segments:
        between = {frozenset((b.tail, b.head)): (b.ohm, b.henry) for b in made.branches}
        left, right = (
            between[frozenset((left0, left1))],
            between[frozenset((right0, right1))],
        )
        made.segments.append(
            Segment(
                PartId("R1"),
                float(len(made.segments)),
                float(len(made.segments) + 1),
                left0,
                right0,
                left1,
                right1,
                left[0],
                right[0],
                left[1] + right[1],
            )
        )
    return made.finish()


def drawing(
    system: System, loads: Iterable[tuple[int, int, float]]
) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """Return the injection of loads (from node, to node, amps)."""
    push = np.zeros(system.size + 1)
    for a, b, amps in loads:
        push[system.row[a]] -= amps
        push[system.row[b]] += amps
    return push[:-1]


def system_of(circuit: Circuit) -> System:
    """Return the equations of a circuit."""
    return build_system(circuit)
