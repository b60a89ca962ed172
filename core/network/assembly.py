"""The bench on which a circuit is put together, node by node."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar, cast

from core.layout.ids import PartId
from core.network.circuit import (
    Branch,
    BranchKind,
    Circuit,
    Draw,
    Frog,
    Link,
    Node,
    Pair,
    Segment,
    Source,
    Stretch,
)
from core.network.memory import Facts, Lump, PartMemory

P = TypeVar("P")

LEAST_OHM = 1e-6
"""No branch has less, so that every equation stays solvable (house choice). [Ω]"""


@dataclass(slots=True)
class Assembly:
    """Growing lists of a circuit; `finish` freezes them.

    `memory` is what parts became in the last circuit; this one is put in its place.
    """

    memory: PartMemory = field(default_factory=PartMemory)
    nodes: list[Node] = field(default_factory=list)
    branches: list[Branch] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    draws: list[Draw] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    frogs: list[Frog] = field(default_factory=list)
    inputs: dict[PartId, Pair] = field(default_factory=dict)
    _names: dict[str, int] = field(default_factory=dict)
    _kept: PartMemory = field(default_factory=PartMemory)

    def node(self, part: PartId, position_m: float, wire: str, where: str = "") -> int:
        """Add a node and return its number; `where` tells equal places apart."""
        stem = f"{part}_{where}{wire}" if where else f"{part}_{wire}"
        count = self._names.get(stem, 0)
        self._names[stem] = count + 1
        name = f"{stem}_{count}" if count else stem
        self.nodes.append(Node(name, part, position_m, wire))
        return len(self.nodes) - 1

    def pair(self, part: PartId, position_m: float = 0.0, where: str = "") -> Pair:
        """Add the two nodes of a pair of conductors, A and B."""
        return (
            self.node(part, position_m, "A", where),
            self.node(part, position_m, "B", where),
        )

    def rails(self, part: PartId, position_m: float) -> Pair:
        """Add the two nodes of a place on track, left and right."""
        return (
            self.node(part, position_m, "left"),
            self.node(part, position_m, "right"),
        )

    def connect(  # noqa: PLR0913 - one keyword a figure of the branch
        self,
        kind: BranchKind,
        ends: Pair,
        ohm: float,
        *,
        of: Stretch,
        henry: float = 0.0,
        emf_v: float = 0.0,
        spread: tuple[float, float] = (1.0, 1.0),
    ) -> int:
        """Add a branch and return its number."""
        tail, head = ends
        self.branches.append(
            Branch(
                kind,
                tail,
                head,
                max(ohm, LEAST_OHM),
                henry,
                of.part,
                self.nodes[tail].wire,
                of.start_m,
                of.end_m,
                emf_v,
                spread,
            )
        )
        return len(self.branches) - 1

    def place(
        self,
        part: PartId,
        facts: Facts,
        make: Callable[[], P],
        move: Callable[[P, int], P],
    ) -> P:
        """Put a part on the bench as it was put last time, or make it.

        Parameters
        ----------
        facts : tuple
            All that it follows from.
        make : callable
            Adds its nodes, which no other part adds to, and its branches, which
            join no others; returns places that are asked for later.
        move : callable
            Returns those places with their nodes numbered on.
        """
        lump = self.memory.lumps.get(part)
        if lump is None or lump.facts != facts:
            lump = self._make(facts, make)
        else:
            by = len(self.nodes) - lump.first
            if by:
                lump = lump.moved(by, move(cast("P", lump.places), by))
            self.nodes += lump.nodes
            self.branches += lump.branches
            self.segments += lump.segments
            self.links += lump.links
        self._kept.lumps[part] = lump
        return cast("P", lump.places)

    def figures(self, part: PartId, facts: Facts, work: Callable[[], P]) -> P:
        """Return figures of a part as they were last time, or work them out."""
        known = self.memory.figures.get(part)
        if known is None or known[0] != facts:
            known = (facts, work())
        self._kept.figures[part] = known
        return cast("P", known[1])

    def finish(self) -> Circuit:
        """Return the circuit."""
        self.memory.lumps, self.memory.figures = self._kept.lumps, self._kept.figures
        return Circuit(
            nodes=tuple(self.nodes),
            branches=tuple(self.branches),
            sources=tuple(self.sources),
            segments=tuple(self.segments),
            draws=tuple(self.draws),
            links=tuple(self.links),
            frogs=tuple(self.frogs),
            inputs=dict(self.inputs),
        )

    def _make(self, facts: Facts, make: Callable[[], object]) -> Lump:
        first, branch = len(self.nodes), len(self.branches)
        segment, link = len(self.segments), len(self.links)
        places = make()
        return Lump(
            facts,
            first,
            tuple(self.nodes[first:]),
            tuple(self.branches[branch:]),
            tuple(self.segments[segment:]),
            tuple(self.links[link:]),
            places,
        )
