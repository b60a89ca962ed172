"""The circuit: numbered nodes, typed branches, and where they came from.

What there are thousands of are msgspec records: made four times as fast as
dataclasses, and no work for the garbage collector.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import networkx as nx
import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.layout.ids import PartId

Pair = tuple[int, int]
"""Two nodes (or branches): A and B, or left and right."""


class Stretch(Struct, frozen=True, gc=False):
    """A part, or a length of it. [m]"""

    part: PartId
    start_m: float = 0.0
    end_m: float = 0.0


class BranchKind(StrEnum):
    """What a branch is; also the rows of a loss breakdown, in this order."""

    SUPPLY = "supply"
    DEVICE = "breaker"
    BUS = "bus"
    CONTACT = "contact"
    DROP = "drop"
    JOINT = "joint"
    RAIL = "rail"


class Node(Struct, frozen=True, gc=False):
    """An electrical node: a place where something happens on one conductor.

    Attributes
    ----------
    name : str
        Unique, made of letters, digits and underscores (also the netlist name).
    part : PartId
        The part it lies on.
    position_m : float
        Where along that part (0 where it has no length). [m]
    wire : str
        "A" or "B" on power parts; "left" or "right" on track.
    """

    name: str
    part: PartId
    position_m: float
    wire: str


class Branch(Struct, frozen=True, gc=False):
    """A conductor between two nodes.

    Attributes
    ----------
    kind : BranchKind
        What it is.
    tail, head : int
        Its nodes, by number.
    ohm, henry : float
        Series resistance (> 0) and its half of the loop inductance. [Ω, H]
    part : PartId
        The part it came from.
    wire : str
        "A", "B", "left" or "right".
    start_m, end_m : float
        The stretch of the part that it stands for. [m]
    emf_v : float
        Fixed voltage lost whichever way the current goes (diode detectors). [V]
    spread : tuple of float
        Least and most that its resistance may be, as shares of `ohm`. [1]
    """

    kind: BranchKind
    tail: int
    head: int
    ohm: float
    henry: float
    part: PartId
    wire: str
    start_m: float = 0.0
    end_m: float = 0.0
    emf_v: float = 0.0
    spread: tuple[float, float] = (1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Source:
    """A booster: an ideal voltage behind an inner resistance. [V, Ω]"""

    plus: int
    minus: int
    volts: float
    ohm: float
    part: PartId


class Segment(Struct, frozen=True, gc=False):
    """A stretch of track with nothing on it: two uniform rails, four ends.

    `left0`/`right0` are the nodes at `start_m`, `left1`/`right1` at `end_m`;
    `ohm_left`, `ohm_right` the rails' resistances; `henry` the loop's inductance.
    """

    run: PartId
    start_m: float
    end_m: float
    left0: int
    right0: int
    left1: int
    right1: int
    ohm_left: float
    ohm_right: float
    henry: float


@dataclass(frozen=True, slots=True)
class Draw:
    """A load across two nodes: amps, or watts where `watts` is not zero."""

    left: int
    right: int
    amps: float
    watts: float
    part: PartId


@dataclass(frozen=True, slots=True)
class Link:
    """A place where a pair is joined to a pair and might have been crossed.

    Attributes
    ----------
    part : PartId
        The drop, bus, device or strip whose connection it is.
    where : str
        "drop", "start", "end" or "feed": which connection of that part.
    near, far : Pair
        Nodes on its own side and on the other side, A first as drawn.
    branches : Pair
        The two branches that make it.
    on : PartId or None
        The strip it is screwed to, if any.
    """

    part: PartId
    where: str
    near: Pair
    far: Pair
    branches: Pair
    on: PartId | None = None


@dataclass(frozen=True, slots=True)
class Frog:
    """A live crossing and the two rails its contact can lie on.

    Attributes
    ----------
    part : PartId
        The turnout.
    frog : int
        Node of the crossing's own metal.
    inner, outer : int
        Stock rails at the toe: touched when set straight, and when thrown.
    branch : int
        The contact as it is set now.
    other : int
        The stock rail it would touch if set the other way.
    """

    part: PartId
    frog: int
    inner: int
    outer: int
    branch: int
    other: int


@dataclass(frozen=True)
class Circuit:
    """A circuit as built from a layout and a case; never edited.

    Attributes
    ----------
    nodes, branches, sources, segments, draws, links, frogs : tuples
        In a fixed order; nodes are referred to by their index.
    inputs : mapping of PartId to Pair
        What comes in to each in-line device that lets current through, and what
        each drop is wired to: A and B, also where only one of them is used.
    """

    nodes: tuple[Node, ...]
    branches: tuple[Branch, ...]
    sources: tuple[Source, ...]
    segments: tuple[Segment, ...]
    draws: tuple[Draw, ...]
    links: tuple[Link, ...]
    frogs: tuple[Frog, ...]
    inputs: Mapping[PartId, Pair]

    @cached_property
    def ends(self) -> NDArray[np.int64]:
        """Nodes left0, right0, left1, right1 of each segment, shape (S, 4)."""
        rows = [(s.left0, s.right0, s.left1, s.right1) for s in self.segments]
        return np.array(rows, np.int64).reshape(-1, 4)

    @cached_property
    def tails(self) -> NDArray[np.int64]:
        """The node that each branch begins at, shape (M,)."""
        return np.array([b.tail for b in self.branches], np.int64)

    @cached_property
    def heads(self) -> NDArray[np.int64]:
        """The node that each branch ends at, shape (M,)."""
        return np.array([b.head for b in self.branches], np.int64)

    @cached_property
    def on_run(self) -> dict[PartId, list[int]]:
        """The segments of each run, by number, from its start to its end."""
        found: dict[PartId, list[int]] = {}
        for i, segment in enumerate(self.segments):
            found.setdefault(segment.run, []).append(i)
        return found

    @cached_property
    def by_kind(self) -> dict[BranchKind, NDArray[np.int64]]:
        """The branches of each kind, by number, in order."""
        found: dict[BranchKind, list[int]] = {kind: [] for kind in BranchKind}
        for i, branch in enumerate(self.branches):
            found[branch.kind].append(i)
        return {kind: np.array(own, np.int64) for kind, own in found.items()}

    @cached_property
    def rail_between(self) -> dict[Pair, int]:
        """The first branch of rail between two nodes, named in either order."""
        found: dict[Pair, int] = {}
        for i, branch in enumerate(self.branches):
            if branch.kind is BranchKind.RAIL:
                found.setdefault((branch.tail, branch.head), i)
                found.setdefault((branch.head, branch.tail), i)
        return found

    @cached_property
    def graph(self) -> "nx.MultiGraph[int]":
        """The same as a graph, for questions about ways; made when first asked for.

        Nodes 0..N-1 (attribute `node`), edges with key = index of the branch and
        attribute `branch`; sources and draws are not edges.
        """
        graph: nx.MultiGraph[int] = nx.MultiGraph()
        for i, node in enumerate(self.nodes):
            graph.add_node(i, node=node)
        for i, branch in enumerate(self.branches):
            graph.add_edge(branch.tail, branch.head, key=i, branch=branch)
        return graph
