"""The bench on which a circuit is put together, node by node."""

from dataclasses import dataclass, field

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

LEAST_OHM = 1e-6
"""No branch has less, so that every equation stays solvable (house choice). [Ω]"""


@dataclass(slots=True)
class Assembly:
    """Growing lists of a circuit; `finish` freezes them."""

    nodes: list[Node] = field(default_factory=list)
    branches: list[Branch] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    draws: list[Draw] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    frogs: list[Frog] = field(default_factory=list)
    inputs: dict[PartId, Pair] = field(default_factory=dict)
    _names: dict[str, int] = field(default_factory=dict)

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

    def finish(self) -> Circuit:
        """Return the circuit."""
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
