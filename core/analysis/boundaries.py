"""Where a train crosses from one feed to another: volts, phase, what bridges.

At a double gap a wheel joins left to left and right to right. With u1 and u2 the open
volts of the two sides, read in the same direction, and Z1 and Z2 their loops, the
wheels carry (u1 − u2)/(Z1 + Z2). Sides of opposite phase have u1 − u2 near twice the
track volts: a short.
"""

from dataclasses import dataclass

from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Inline, OnRun
from core.network.sections import plan_sections


@dataclass(frozen=True, slots=True)
class Boundary:
    """A double gap, insulated joint or insulated leg with power on both sides.

    Attributes
    ----------
    part : PartId
        The gap, joint or turnout.
    place : OnRun
        Where it is.
    before_v, after_v : float
        Open volts of the two sides, left less right in one direction. [V]
    loop_ohm : float
        Loops of the two sides together. [Ω]
    feeds : tuple of two PartId or None
        The device before each side.
    reversers : tuple of PartId
        Reversers among what stands before either side.
    """

    part: PartId
    place: OnRun
    before_v: float
    after_v: float
    loop_ohm: float
    feeds: tuple[PartId | None, PartId | None]
    reversers: tuple[PartId, ...]

    @property
    def opposite(self) -> bool:
        """Whether the two sides are of opposite phase."""
        return self.before_v * self.after_v < 0.0

    @property
    def mismatch_v(self) -> float:
        """Volts between the two sides. [V]."""
        return abs(self.before_v - self.after_v)

    @property
    def bridge_a(self) -> float:
        """Current through wheels that bridge it, by resistance. [A]."""
        return self.mismatch_v / self.loop_ohm


@dataclass(frozen=True, slots=True)
class Flank:
    """One side of a boundary."""

    volts: float
    loop: float
    feed: PartId | None


def find_boundaries(study: Study) -> tuple[Boundary, ...]:
    """Return every boundary that has power on both sides."""
    plan = plan_sections(study.layout)
    found: list[Boundary] = []
    for link in plan.links:
        if not link.gapped:
            continue
        runs = plan.sections[link.a].run, plan.sections[link.b].run
        before = flank(study, runs[0], link.a_m, plan.sections[link.a].start_m)
        after = flank(study, runs[1], link.b_m, plan.sections[link.b].start_m)
        if before is None or after is None:
            continue
        turned = -after.volts if link.crossed else after.volts
        found.append(
            Boundary(
                part=link.part,
                place=OnRun(run=runs[0], position_m=link.a_m),
                before_v=before.volts,
                after_v=turned,
                loop_ohm=before.loop + after.loop,
                feeds=(before.feed, after.feed),
                reversers=reversers_before(study, before.feed, after.feed),
            )
        )
    return tuple(found)


def flank(study: Study, run: PartId, position_m: float, start_m: float) -> Flank | None:
    """Return the side of a boundary that lies in the section from `start_m`."""
    ends_here = position_m > start_m
    for i in study.circuit.on_run.get(run, ()):
        segment = study.circuit.segments[i]
        if not study.scan.fed[i]:
            continue
        at = segment.end_m if ends_here else segment.start_m
        if abs(at - position_m) > 1e-6:
            continue
        nodes = (
            (segment.left1, segment.right1)
            if ends_here
            else (segment.left0, segment.right0)
        )
        volts = study.source.volts
        loop = study.scan.loop1[i] if ends_here else study.scan.loop0[i]
        return Flank(
            float(volts[nodes[0]] - volts[nodes[1]]),
            float(loop),
            study.feeds.of_pair(*nodes),
        )
    return None


def reversers_before(study: Study, *feeds: PartId | None) -> tuple[PartId, ...]:
    """Return the reversers among what stands before some feeds, each once."""
    found: dict[PartId, None] = {}
    for feed in feeds:
        for part in study.feeds.chain(feed) if feed is not None else ():
            device = study.layout.get(part, Inline)
            if device is not None and device.device == "reverser":
                found[part] = None
    return tuple(found)
