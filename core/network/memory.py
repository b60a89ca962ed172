"""What parts became in the last circuit, taken over where nothing about them changed.

An edit changes a few of a thousand parts. Parts are frozen, so one that is the same
as before, with the same about it, becomes the same again; only its numbers may have
moved on, since all nodes are counted through.
"""

from dataclasses import dataclass, field, replace

from core.layout.ids import PartId
from core.network.circuit import Branch, Link, Node, Segment

Facts = tuple[object, ...]
"""All that what a part becomes follows from, to be compared."""


@dataclass(frozen=True, slots=True)
class Lump:
    """What one part became.

    Attributes
    ----------
    facts : tuple
        What it follows from.
    first : int
        Number of its first node.
    nodes, branches, segments, links : tuples
        What it added to the circuit, in order.
    places : object
        What was handed on to those parts that join it.
    """

    facts: Facts
    first: int
    nodes: tuple[Node, ...]
    branches: tuple[Branch, ...]
    segments: tuple[Segment, ...]
    links: tuple[Link, ...]
    places: object

    def moved(self, by: int, places: object) -> "Lump":
        """Return it with all nodes numbered on; it must name none but its own."""
        assert not self.links, "links name branches by number"
        return replace(
            self,
            first=self.first + by,
            branches=tuple(_branch(b, by) for b in self.branches),
            segments=tuple(_segment(s, by) for s in self.segments),
            places=places,
        )


@dataclass(slots=True)
class PartMemory:
    """The lumps and figures of the last circuit that was built with it, by part."""

    lumps: dict[PartId, Lump] = field(default_factory=dict)
    figures: dict[PartId, tuple[Facts, object]] = field(default_factory=dict)


def _branch(b: Branch, by: int) -> Branch:
    return Branch(
        b.kind,
        b.tail + by,
        b.head + by,
        b.ohm,
        b.henry,
        b.part,
        b.wire,
        b.start_m,
        b.end_m,
        b.emf_v,
        b.spread,
    )


def _segment(s: Segment, by: int) -> Segment:
    return Segment(
        s.run,
        s.start_m,
        s.end_m,
        s.left0 + by,
        s.right0 + by,
        s.left1 + by,
        s.right1 + by,
        s.ohm_left,
        s.ohm_right,
        s.henry,
    )
