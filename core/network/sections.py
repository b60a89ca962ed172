"""Track as a graph of sections: where left goes on as left, and where it swaps.

A section is a stretch of a run without a double gap. Two sections are linked by a
joint, a turnout, a double gap, or a crossing that joins like rails (a slip, or obtuse
crossings that are one metal); a link is crossed where the left rail of one goes on as
the right rail of the other. A cut through one rail only parts nothing here:
the other rail still carries the pair's polarity on.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from core.layout.edits.sides import is_swapped
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, ties_like_rails
from core.layout.openings import edges_of
from core.layout.parts import (
    Crossing,
    Gap,
    Opening,
    RunEnd,
    TrackJoint,
    TrackRun,
    Turnout,
)

SAME_PLACE_M = 0.05
"""Gaps in the two rails no further apart are one double gap (house choice). [m]

Builders stagger them, so that the sleepers hold the track in line.
"""


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of a run between double gaps. [m]"""

    run: PartId
    start_m: float
    end_m: float


@dataclass(frozen=True, slots=True)
class SectionLink:
    """Two sections that meet.

    Attributes
    ----------
    part : PartId
        The joint, turnout, crossing or gap.
    a, b : int
        Sections, by number.
    a_m, b_m : float
        Where on their runs they meet. [m]
    crossed : bool
        Whether left goes on as right.
    gapped : bool
        Whether both rails are cut there: a train still runs across.
    """

    part: PartId
    a: int
    b: int
    a_m: float
    b_m: float
    crossed: bool
    gapped: bool


@dataclass(frozen=True)
class TrackPlan:
    """All sections and links of a layout."""

    sections: tuple[Section, ...]
    links: tuple[SectionLink, ...]

    def at(self, run: PartId, position_m: float) -> int:
        """Return the section that holds a place; at a gap the one before it."""
        best = -1
        for i in self._on_run.get(run, ()):
            if best < 0 or position_m > self.sections[i].start_m:
                best = i
        return best

    @cached_property
    def _on_run(self) -> dict[PartId, list[int]]:
        found: dict[PartId, list[int]] = {}
        for i, section in enumerate(self.sections):
            found.setdefault(section.run, []).append(i)
        return found


def plan_sections(layout: Layout) -> TrackPlan:
    """Return the sections of a layout and how they meet."""
    sections: list[Section] = []
    links: list[SectionLink] = []
    ends: dict[RunEnd, tuple[int, float]] = {}
    gaps: defaultdict[PartId, list[Gap]] = defaultdict(list)
    for gap in layout.of_kind(Gap):
        if not gap.bridged:
            gaps[gap.on.run].append(gap)
    edges = _opening_edges(layout)
    for run in layout.of_kind(TrackRun):
        length = run_path(run).length_m
        cuts = _double_gaps(gaps[run.id], length)
        cuts = sorted([*cuts, *edges.get(run.id, ())])
        first = len(sections)
        stops = [(0.0, 0.0), *((low, high) for low, high, _ in cuts), (length, length)]
        for (_, start), (end, _) in pairwise(stops):
            sections.append(Section(run.id, start, end))
        for i, (low, high, cut) in enumerate(cuts):
            before, after = first + i, first + i + 1
            links.append(
                SectionLink(cut, before, after, low, high, crossed=False, gapped=True)
            )
        ends[RunEnd(run=run.id, end="start")] = (first, 0.0)
        ends[RunEnd(run=run.id, end="end")] = (len(sections) - 1, length)
    plan = TrackPlan(tuple(sections), tuple(links))
    more = [
        *_joints(layout, ends),
        *_turnouts(layout, ends, plan),
        *_crossings(layout, plan),
    ]
    return TrackPlan(plan.sections, (*plan.links, *more))


def _joints(layout: Layout, ends: dict[RunEnd, tuple[int, float]]) -> list[SectionLink]:
    found: list[SectionLink] = []
    for joint in layout.of_kind(TrackJoint):
        if joint.a in ends and joint.b in ends:
            (a, a_m), (b, b_m) = ends[joint.a], ends[joint.b]
            gapped = joint.insulated == "both"
            found.append(
                SectionLink(
                    joint.id, a, b, a_m, b_m, crossed=is_swapped(joint), gapped=gapped
                )
            )
    return found


def _turnouts(
    layout: Layout, ends: dict[RunEnd, tuple[int, float]], plan: TrackPlan
) -> list[SectionLink]:
    found: list[SectionLink] = []
    for turnout in layout.of_kind(Turnout):
        a = plan.at(turnout.on.run, turnout.on.position_m)
        if a < 0 or turnout.leg not in ends:
            continue
        b, b_m = ends[turnout.leg]
        found.append(
            SectionLink(
                turnout.id,
                a,
                b,
                turnout.on.position_m,
                b_m,
                crossed=is_swapped(turnout),
                gapped=turnout.leg_insulated == "both",
            )
        )
    return found


def _crossings(layout: Layout, plan: TrackPlan) -> list[SectionLink]:
    found: list[SectionLink] = []
    for crossing in layout.of_kind(Crossing):
        lie = lie_of(layout, crossing)
        if lie is None or not ties_like_rails(crossing, lie):
            continue
        a, b = crossing.a, crossing.b
        found.append(
            SectionLink(
                crossing.id,
                plan.at(a.run, a.position_m),
                plan.at(b.run, b.position_m),
                a.position_m,
                b.position_m,
                crossed=lie.swapped,
                gapped=False,
            )
        )
    return found


def _opening_edges(layout: Layout) -> dict[PartId, set[tuple[float, float, PartId]]]:
    """Return where both rails end at an opening, written as double gaps are."""
    found: dict[PartId, set[tuple[float, float, PartId]]] = {}
    for opening in layout.of_kind(Opening):
        for edge in edges_of(layout, opening):
            place = (edge.position_m, edge.position_m, opening.id)
            found.setdefault(edge.run, set()).add(place)
    return found


def _double_gaps(
    gaps: Iterable[Gap], length: float
) -> list[tuple[float, float, PartId]]:
    """Return where both rails of a run are cut, from rail to rail, and by which gap."""
    sides: dict[str, list[tuple[float, PartId]]] = {"left": [], "right": []}
    for gap in gaps:
        for side in ("left", "right"):
            if gap.rails in (side, "both"):
                sides[side].append((min(gap.on.position_m, length), gap.id))
    found: list[tuple[float, float, PartId]] = []
    rest = [position for position, _ in sides["right"]]
    for position, gap_id in sorted(sides["left"]):
        near = min(rest, key=lambda other: abs(other - position), default=None)
        if near is not None and abs(near - position) <= SAME_PLACE_M + 1e-9:
            rest.remove(near)
            found.append((min(position, near), max(position, near), gap_id))
    return found
