"""What helps a weak short: one answer for finding, card, report and sheet."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from core.analysis.breakdown import Point, Response, break_down, unit_response
from core.analysis.shorts import limit_of
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Bus
from core.materials.pair import loop_inductance_of_bus
from core.materials.wires import wire
from core.network.circuit import BranchKind

WORTH = 1.1
"""A bus whose inductance is less than this times that of a twisted one is left. [1]"""

FELT = 0.05
"""A bus with less than this part of the inductance of the loop is left. [1]"""


@dataclass(frozen=True, slots=True)
class Remedy:
    """What holds a short down, and what would help.

    Attributes
    ----------
    held_by : "shared", "supply", "resistance" or "inductance"
        What holds it down; shared: each device senses a part only.
    twist : tuple of PartId
        The buses on the way that would have less inductance twisted, the one with
        the most of it first.
    sharers : tuple of PartId
        The devices that share the short.
    """

    held_by: Literal["shared", "supply", "resistance", "inductance"]
    twist: tuple[PartId, ...]
    sharers: tuple[PartId, ...]

    @property
    def words(self) -> str:
        """What to do, in a sentence or two without the last full stop."""
        if self.held_by == "shared":
            names = f"{', '.join(self.sharers[:-1])} and {self.sharers[-1]}"
            return (
                f"{names} share it, each senses a part: cut both rails where what they "
                "feed meets"
            )
        if self.held_by == "supply":
            return "The supply itself gives no more"
        if self.held_by == "resistance":
            return (
                "Resistance limits it: thicker or shorter bus, more drops, a booster "
                "nearer by"
            )
        how = "shorten the way, feed its middle, put a booster nearer by"
        if self.twist:
            how = f"twist {_listed(self.twist)}"
        return f"Inductance limits it: {how}. Thicker wire would hardly help"


def find_remedy(study: Study, point: Point, response: Response | None = None) -> Remedy:
    """Return what holds a short at a point down, and what helps."""
    sharers = study.sharers(point.segment)
    if len(sharers) > 1:
        return Remedy("shared", (), sharers)
    response = response or unit_response(study, point)
    shorts = study.shorts_at(np.array([point.segment]), np.array([point.t]))
    plain = study.plain_short_at(point.segment, point.t)
    if limit_of(float(shorts.sensed("rms")[0]), plain) == "inductance":
        return Remedy("inductance", _loose_buses(study, response), ())
    losses = break_down(study, point, response)
    most = max(losses, key=lambda loss: loss.volts_v, default=None)
    supply = most is not None and most.kind == BranchKind.SUPPLY.value
    return Remedy("supply" if supply else "resistance", (), ())


def _loose_buses(study: Study, response: Response) -> tuple[PartId, ...]:
    """Return the buses on the way that twisting would help, the most first."""
    branches = study.circuit.branches
    own = study.circuit.by_kind[BranchKind.BUS]
    system = study.system
    stored = system.henry * response.amps**2 * system.active
    felt: dict[PartId, float] = {}
    for i, henry in zip(own.tolist(), stored[own].tolist(), strict=True):
        felt[branches[i].part] = felt.get(branches[i].part, 0.0) + henry
    whole = float(stored.sum())
    ranked = sorted(felt, key=lambda bus: -felt[bus])
    return tuple(
        bus for bus in ranked if felt[bus] > FELT * whole and _is_loose(study, bus)
    )


def _is_loose(study: Study, part: PartId) -> bool:
    """Return whether a bus would have notably less inductance twisted."""
    bus = study.layout.need(part, Bus)
    spool, spacing_m = wire(bus.wire), bus.spacing_mm / 1e3
    as_laid = loop_inductance_of_bus(spool, bus.lay, spacing_m)
    return as_laid > WORTH * loop_inductance_of_bus(spool, "twisted", spacing_m)


def _listed(names: tuple[PartId, ...]) -> str:
    if len(names) > 3:
        return f"{', '.join(names[:2])} and {len(names) - 2} more"
    return " and ".join([*([", ".join(names[:-1])] if names[:-1] else []), names[-1]])
