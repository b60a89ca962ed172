"""Which device stands before each node: the one that must clear a short there."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from core.layout.ids import PartId
from core.network.circuit import Branch, BranchKind, Circuit

_POWER = frozenset((BranchKind.BUS, BranchKind.CONTACT, BranchKind.DEVICE))


@dataclass(frozen=True, slots=True)
class Feeds:
    """Devices upstream of things, walking from the boosters along the power side.

    Attributes
    ----------
    of_node : mapping of node to PartId
        The last booster or in-line device before each node that power reaches.
        Rails take it from the drops that feed them.
    above : mapping of PartId to PartId
        The device or booster before each in-line device: the deeper of what its two
        inputs come from, since one that breaks either of them clears its shorts.
    """

    of_node: dict[int, PartId]
    above: dict[PartId, PartId]

    def of_pair(self, a: int, b: int) -> PartId | None:
        """Return what stands before a pair: the deeper of its two conductors.

        Most devices break one conductor only; the other comes straight through.
        """
        return self.deepest(self.of_node[n] for n in (a, b) if n in self.of_node)

    def deepest(self, parts: Iterable[PartId]) -> PartId | None:
        """Return the device that has most before it; of equal ones the first."""
        return max(parts, key=lambda part: len(self.chain(part)), default=None)

    def chain(self, part: PartId) -> tuple[PartId, ...]:
        """Return a device and what stands before it, up to the booster."""
        found = [part]
        while (up := self.above.get(found[-1])) is not None and up not in found:
            found.append(up)
        return tuple(found)


def find_feeds(circuit: Circuit) -> Feeds:
    """Return what stands before each node.

    Notes
    -----
    The power side is walked first (buses, contacts, devices; nearest booster
    first), so that a rail which joins two districts does not hand one
    district's device to the other's wiring; then drops and rails.
    """
    of_node: dict[int, PartId] = {}
    for source in circuit.sources:
        of_node.setdefault(source.plus, source.part)
        of_node.setdefault(source.minus, source.part)
    near: list[list[tuple[int, Branch]]] = [[] for _ in circuit.nodes]
    for branch in circuit.branches:
        near[branch.tail].append((branch.head, branch))
        # Power does not come in through a device's output.
        if branch.kind is not BranchKind.DEVICE:
            near[branch.head].append((branch.tail, branch))
    for kinds in (_POWER, frozenset(BranchKind)):
        _walk(near, of_node, kinds)
    return Feeds(of_node, _find_above(circuit, of_node))


def _walk(
    near: list[list[tuple[int, Branch]]],
    of_node: dict[int, PartId],
    kinds: frozenset[BranchKind],
) -> None:
    queue = deque(of_node)
    while queue:
        node = queue.popleft()
        for other, branch in near[node]:
            if other in of_node or branch.kind not in kinds:
                continue
            through = branch.kind is BranchKind.DEVICE
            of_node[other] = branch.part if through else of_node[node]
            queue.append(other)


def _find_above(circuit: Circuit, of_node: dict[int, PartId]) -> dict[PartId, PartId]:
    """Return what stands before each device, the deeper of its two inputs."""
    devices = {b.part for b in circuit.branches if b.kind is BranchKind.DEVICE}
    before = {
        device: [of_node[n] for n in pair if n in of_node and of_node[n] != device]
        for device, pair in circuit.inputs.items()
        if device in devices and pair[0] in of_node
    }
    depth = _measure(before)
    return {
        device: max(parts, key=lambda part: depth[part])
        for device, parts in before.items()
        if parts
    }


def _measure(before: dict[PartId, list[PartId]]) -> dict[PartId, int]:
    """Return how many devices stand above each; a ring ends where it began."""
    depth: dict[PartId, int] = {}
    for device in before:
        way = [device]
        while way:
            part = way[-1]
            depth.setdefault(part, 0)
            above = before.get(part, [])
            fresh = [up for up in above if up not in depth]
            way += fresh
            if not fresh:
                depth[part] = 1 + max((depth[up] for up in above), default=0)
                way.pop()
    return depth
