"""What the wire and the connector of a drop or bus stand."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, sqrt

from core.analysis.carrying import Carried, carried_amps
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Bus, Drop
from core.materials.wires import wire
from core.network.circuit import BranchKind

MOST_CONTACT_W = 1.0
"""Heat in one connector the size of a pea, too hot to hold. [W] House choice."""


@dataclass(frozen=True, slots=True)
class Bearing:
    """What a drop or bus stands for good.

    Attributes
    ----------
    wire_a : float
        The rating of its wire. [A]
    contact_ohm : float
        The worst connector of a drop with its soldered joint; 0 for buses. [Ω]
    """

    wire_a: float
    contact_ohm: float

    @property
    def contact_a(self) -> float:
        """What makes `MOST_CONTACT_W` of heat in the connector. [A]"""
        ohm = self.contact_ohm
        return sqrt(MOST_CONTACT_W / ohm) if ohm > 0.0 else inf

    @property
    def amps_a(self) -> float:
        """The lesser of both. [A]"""
        return min(self.wire_a, self.contact_a)


def bearings(study: Study) -> dict[PartId, Bearing]:
    """Return what each live drop and bus stands, by part."""
    branches = study.circuit.branches
    ohm: dict[PartId, float] = {}
    for i in study.circuit.by_kind[BranchKind.CONTACT].tolist():
        branch = branches[i]
        ohm[branch.part] = max(ohm.get(branch.part, 0.0), branch.ohm)
    found: dict[PartId, Bearing] = {}
    for duty in study.wires:
        part = study.layout.parts[duty.part]
        assert isinstance(part, Bus | Drop)
        contact = ohm.get(part.id, 0.0) if isinstance(part, Drop) else 0.0
        found[part.id] = Bearing(wire(part.wire).amps_a, contact)
    return found


@dataclass(frozen=True, slots=True)
class LoadRow:
    """What a drop or bus carries at most, and what it stands.

    `share` is the one over the other: 1 is just what it stands. [1]
    """

    carried: Carried
    bearing: Bearing

    @property
    def share(self) -> float:
        """What it carries over what it stands. [1]"""
        return self.carried.amps_a / self.bearing.amps_a

    @property
    def open_share(self) -> float:
        """The same with another drop open; 0 where there is none. [1]"""
        return (self.carried.open_a or 0.0) / self.bearing.amps_a


def load_rows(
    study: Study, *, go_on: Callable[[], bool] = lambda: True
) -> tuple[LoadRow, ...]:
    """Return what each live drop and bus carries at most, in the layout's order.

    See `carried_amps`.
    """
    known = bearings(study)
    every = carried_amps(study, go_on=go_on)
    return tuple(LoadRow(own, known[part]) for part, own in every.items())
