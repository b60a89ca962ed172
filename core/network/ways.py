"""A way through the wiring, part by part, as one would follow it with a finger."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.layout.ids import PartId
from core.network.circuit import Branch, BranchKind, Circuit

_LONG = frozenset((BranchKind.RAIL, BranchKind.BUS, BranchKind.DROP))
"""Branches that have a length to follow."""


@dataclass(frozen=True, slots=True)
class Step:
    """One part of a way, or a length of it, as walked. [m]

    Attributes
    ----------
    part : PartId
        A run, bus, drop, device, joint or turnout.
    wire : str
        "left" or "right" on track, "A" or "B" on wiring; empty for both.
    start_m, end_m : float
        From where to where along the part; 0 where it has no length. [m]
    """

    part: PartId
    wire: str = ""
    start_m: float = 0.0
    end_m: float = 0.0

    @property
    def length_m(self) -> float:
        """How far it goes. [m]."""
        return abs(self.end_m - self.start_m)


@dataclass(frozen=True, slots=True)
class Way:
    """Steps one after the other, and the place where half the resistance is past.

    `middle` is a part and a position along it. [m] Where both ends of the way are
    the poles of one booster, its volts there are half way between them.
    """

    steps: tuple[Step, ...]
    middle: tuple[PartId, float]


def way_along(
    circuit: Circuit, nodes: Sequence[int], branches: Sequence[Branch]
) -> Way:
    """Return the way from node to node; `branches` lie between them, in order."""
    steps: list[Step] = []
    for i, (node, branch) in enumerate(zip(nodes[:-1], branches, strict=True)):
        beside = [
            b.part for b in (*branches[max(i - 1, 0) : i], *branches[i + 1 : i + 2])
        ]
        if branch.kind is BranchKind.CONTACT and branch.part in beside:
            continue  # a screw of something that is walked along anyway
        ends = (branch.start_m, branch.end_m)
        start, end = ends if branch.tail == node else ends[::-1]
        last = steps[-1] if steps else None
        if last is not None and (last.part, last.wire) == (branch.part, branch.wire):
            steps[-1] = Step(last.part, last.wire, last.start_m, end)
        else:
            steps.append(Step(branch.part, branch.wire, start, end))
    return Way(tuple(steps), _middle(circuit, nodes, branches))


def _middle(
    circuit: Circuit, nodes: Sequence[int], branches: Sequence[Branch]
) -> tuple[PartId, float]:
    left = 0.5 * sum(branch.ohm for branch in branches)
    for node, branch in zip(nodes[:-1], branches, strict=True):
        if left <= branch.ohm:
            if branch.kind not in _LONG:
                there = circuit.nodes[node]
                return there.part, there.position_m
            share = left / branch.ohm
            if branch.tail != node:
                share = 1.0 - share
            length = branch.end_m - branch.start_m
            return branch.part, branch.start_m + share * length
        left -= branch.ohm
    end = circuit.nodes[nodes[-1]]
    return end.part, end.position_m
