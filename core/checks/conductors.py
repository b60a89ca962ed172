"""Every conductor: what it stands, what protects it, and what runs through it.

A device lets its trip current flow for good, and in a short I²·t until it lets go.

Sources
-------
Wires: their rating, and (k·S)² with k = 115 for copper in PVC (IEC 60364-4-43 and
60364-5-54). Rails: `core.materials.warmth`, house figures. Joints: `MOST_CONTACT_W` of
heat for good, a house figure; in a short those of wires what their wire stands (a
block that meets IEC 60947-7-1 bears 120 A/mm² for 1 s, from memory), those of rails
ten times that current for a tenth of a second, as contacts do: a house figure.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study, place_in
from core.analysis.together import flow_together
from core.checks.bearing import MOST_CONTACT_W
from core.checks.faults import fault_amps, pushed
from core.checks.naming import JointNames
from core.checks.rules.weak_contact import LiveContact, live_contacts
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, OnRun, ToBus, ToStrip, TrackRun
from core.materials.contacts import SHORT_TIME
from core.materials.heat import let_through_limit
from core.materials.rails import rail
from core.materials.warmth import rail_amps, rail_let_through
from core.materials.wires import wire
from core.network.circuit import BranchKind

Kind = Literal[
    "bus",
    "sub-bus",
    "drop",
    "frog lead",
    "frog contact",
    "wire joint",
    "rail",
    "rail joint",
]
"""What a conductor is. A sub-bus hangs on a bus, or on a device that is no booster."""

KINDS: tuple[Kind, ...] = (
    "bus",
    "sub-bus",
    "drop",
    "frog lead",
    "frog contact",
    "wire joint",
    "rail",
    "rail joint",
)
"""The order in which they are told."""

Verdict = Literal["holds", "too thin", "gets hot", "overheats"]
"""It stands both; the trip current is more than a wire stands, or more than a rail,
joint or contact does; a short harms it before it is cleared."""

WIRES: frozenset[Kind] = frozenset(("bus", "sub-bus", "drop", "frog lead"))
"""What standards rate; the rest stands by house figures."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """One conductor, what it stands, and what runs through it.

    Attributes
    ----------
    kind, size : Kind and str
        What it is, and its wire, rail or joint as people call it.
    part, place : PartId and OnRun or None
        Which one, and where on a run, for rails and their joints.
    amps_a, squared : float
        What it stands for good, and as I²·t. [A, A²s]
    by : Clearing
        What protects it.
    short_a : float or None
        The short that it must stand; None where that is not known. [A]
    copper_mm2 : float
        Area of a wire; 0 for all else. [mm²]
    ohm : float
        Of a joint; 0 for all else. [Ω]
    together_a : float
        What several devices let come back by it together; 0 where `by` alone bounds
        what flows. [A]
    """

    kind: Kind
    size: str
    part: PartId
    place: OnRun | None
    amps_a: float
    squared: float
    by: Clearing
    short_a: float | None
    copper_mm2: float = 0.0
    ohm: float = 0.0
    together_a: float = 0.0

    @property
    def lets_a(self) -> float:
        """What may flow through it for good. [A]"""
        return max(self.by.trip_a, self.together_a)

    @property
    def passed(self) -> float | None:
        """I²·t until the device lets go; None where it would not trip. [A²s]

        A lamp never does: it holds the current, which flows for good.
        """
        if self.by.holds or self.short_a is None or self.short_a < self.by.trip_a:
            return None
        return self.short_a**2 * self.by.trip_s

    @property
    def share(self) -> float:
        """The worse of both over what it stands: at most 1 is right. [1]"""
        return max(self.lets_a / self.amps_a, (self.passed or 0.0) / self.squared)

    @property
    def verdict(self) -> Verdict:
        """Whether it stands what its device lets through."""
        if self.lets_a > self.amps_a * (1.0 + 1e-9):
            return "too thin" if self.kind in WIRES else "gets hot"
        if (self.passed or 0.0) > self.squared * (1.0 + 1e-9):
            return "overheats"
        return "holds"


def conductors(study: Study) -> Iterator[Conductor]:
    """Yield every conductor that something protects."""
    names, faults = JointNames(study.layout), fault_amps(study)
    frogs = tuple(live_contacts(study))
    yield from _wires(study, faults)
    yield from _frogs(frogs)
    yield from _wire_joints(study, names, faults)
    yield from _rails(study)
    yield from _rail_joints(study, names, {live.part.id for live in frogs})


def _wires(study: Study, faults: dict[PartId, float]) -> Iterator[Conductor]:
    strips = _fed_strips(study.layout)
    together = flow_together(study)
    for duty in study.wires:
        if duty.by is None:
            continue
        part, spool = study.layout.parts[duty.part], wire(duty.wire)
        kind: Kind = "drop"
        if isinstance(part, Bus):
            kind = "sub-bus" if _is_sub(study, part, duty.by, strips) else "bus"
        yield Conductor(
            kind,
            spool.label,
            part.id,
            None,
            spool.amps_a,
            let_through_limit(spool.area_mm2),
            duty.by,
            faults.get(part.id),
            copper_mm2=spool.area_mm2,
            together_a=together[part.id].amps_a if part.id in together else 0.0,
        )


def _fed_strips(layout: Layout) -> frozenset[PartId]:
    """Return the strips that a bus ends on."""
    ends = [bus.end for bus in layout.of_kind(Bus)]
    return frozenset(end.part for end in ends if isinstance(end, ToStrip))


def _is_sub(study: Study, bus: Bus, by: Clearing, strips: frozenset[PartId]) -> bool:
    if isinstance(bus.start, ToBus):
        return True
    if isinstance(bus.start, ToStrip) and bus.start.part in strips:
        return True
    return study.layout.get(by.part, Booster) is None


def _frogs(frogs: tuple[LiveContact, ...]) -> Iterator[Conductor]:
    for live in frogs:
        spool, rating = wire(live.part.frog_wire), live.rating
        yield Conductor(
            "frog lead",
            spool.label,
            live.part.id,
            None,
            spool.amps_a,
            let_through_limit(spool.area_mm2),
            live.by,
            live.amps,
            copper_mm2=spool.area_mm2,
        )
        yield Conductor(
            "frog contact",
            f"contact for {rating:g} A",
            live.part.id,
            None,
            rating,
            SHORT_TIME * rating**2,
            live.by,
            live.amps,
        )


def _wire_joints(
    study: Study, names: JointNames, faults: dict[PartId, float]
) -> Iterator[Conductor]:
    """Yield what joins the wires of drops and buses; of devices' own screws none."""
    duties = {duty.part: duty for duty in study.wires}
    branches = study.circuit.branches
    for i in study.circuit.by_kind[BranchKind.CONTACT].tolist():
        branch = branches[i]
        duty = duties.get(branch.part)
        if duty is None or duty.by is None:
            continue
        yield Conductor(
            "wire joint",
            names.of(branch),
            branch.part,
            None,
            sqrt(MOST_CONTACT_W / branch.ohm),
            let_through_limit(wire(duty.wire).area_mm2),
            duty.by,
            faults.get(branch.part),
            ohm=branch.ohm,
        )


def _rails(study: Study) -> Iterator[Conductor]:
    sound = sound_segments(study)
    for i, segment in enumerate(study.circuit.segments):
        by = study.clearing[i]
        if by is None or not sound[i]:
            continue
        section = rail(study.layout.need(segment.run, TrackRun).rail)
        ends = ((study.plain_short_at(i, t), t) for t in (0.0, 1.0))
        amps, t = max(ends)
        yield Conductor(
            "rail",
            section.label,
            segment.run,
            place_in(study.circuit, i, t),
            rail_amps(section.ohm_per_m, section.area_mm2),
            rail_let_through(section.ohm_per_m, section.area_mm2),
            by,
            pushed(amps, by),
        )


def _rail_joints(
    study: Study, names: JointNames, switched: set[PartId]
) -> Iterator[Conductor]:
    """Yield joints of rails and blades; contacts of switched crossings are frogs'."""
    shorts = _shorts_at_nodes(study)
    contacts = {frog.branch for frog in study.circuit.frogs}
    branches = study.circuit.branches
    for i in study.circuit.by_kind[BranchKind.JOINT].tolist():
        branch = branches[i]
        if i in contacts and branch.part in switched:
            continue
        here = shorts.get(branch.tail) or shorts.get(branch.head)
        if here is not None:
            amps, by = here
            place = None
            if study.layout.get(branch.part, TrackRun) is not None:
                place = OnRun(run=branch.part, position_m=branch.end_m)
            stands = sqrt(MOST_CONTACT_W / branch.ohm)
            yield Conductor(
                "rail joint",
                names.of(branch),
                branch.part,
                place,
                stands,
                SHORT_TIME * stands**2,
                by,
                pushed(amps, by),
                ohm=branch.ohm,
            )


def _shorts_at_nodes(study: Study) -> dict[int, tuple[float, Clearing]]:
    """Return the short at each node of sound track, and what clears it."""
    sound = sound_segments(study)
    found: dict[int, tuple[float, Clearing]] = {}
    for i, segment in enumerate(study.circuit.segments):
        by = study.clearing[i]
        if by is None or not sound[i]:
            continue
        for t, nodes in (
            (0.0, (segment.left0, segment.right0)),
            (1.0, (segment.left1, segment.right1)),
        ):
            amps = study.plain_short_at(i, t)
            for node in nodes:
                found.setdefault(node, (amps, by))
    return found
