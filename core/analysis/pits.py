"""Where wheels cross from a bridge to a stall: poles, volts, what bridges.

Bridge and stall touch nowhere, so each way in which the bridge can stand is a
boundary like a double gap: left meets left, or right where the two were drawn against
each other, and the ring may have changed the bridge's poles over. Each of these is
worked out by itself from the poles as they are now; no settings are gone through.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, pi, sin

from core.analysis.boundaries import Boundary, find_boundaries, flank, reversers_before
from core.analysis.study import Study
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import OnRun, RunEnd, TrackRun, Turntable
from core.layout.turntables import (
    FACE_MM,
    FACE_RAD,
    Position,
    is_swapping,
    off_swap_line_deg,
    out_pose,
    positions,
)

NO_POLE_DEG = 0.5
"""Nearer to the line of change a ring's poles are not sure (house choice). [°]"""


@dataclass(frozen=True, slots=True)
class Meeting:
    """A bridge at a stall, both with power.

    Attributes
    ----------
    table : Turntable
        The turntable or traverser.
    position : Position
        How the bridge stands there.
    edge : Boundary
        The bridge's side first, read along the bridge; its part is the turntable.
    """

    table: Turntable
    position: Position
    edge: Boundary

    @property
    def opposes(self) -> bool:
        """Whether the poles differ and no reverser can turn one of them."""
        return self.edge.opposite and not self.edge.reversers


def find_meetings(study: Study) -> tuple[Meeting, ...]:
    """Return every way for bridges to stand at stalls, where both sides have power.

    Behind a shorted booster the poles are not sure, and nothing is told.
    """
    if not any(study.layout.of_kind(Turntable)):
        return ()
    return tuple(
        meeting
        for table in study.layout.of_kind(Turntable)
        for meeting in _meetings(study, table)
    )


def find_crossings(study: Study) -> tuple[Boundary, ...]:
    """Return the boundaries at gaps, and one for each stall of each pit."""
    seen: dict[tuple[PartId, int], Boundary] = {}
    for meeting in find_meetings(study):
        seen.setdefault((meeting.table.id, meeting.position.number), meeting.edge)
    return (*find_boundaries(study), *seen.values())


def find_passages(study: Study) -> tuple[tuple[Meeting, Meeting], ...]:
    """Return the ways straight across a bridge on which its poles fit one end only.

    A ring or a reverser turns both ends of the bridge at once: where the two stalls in
    line want it different, nothing serves a train that stands over both edges.
    """
    found: dict[tuple[PartId, frozenset[int]], tuple[Meeting, Meeting]] = {}
    meetings = find_meetings(study)
    for one in meetings:
        for other in meetings:
            same = one.table.id == other.table.id
            apart = one.position.by == "end" and other.position.by == "start"
            if same and apart and _in_line(study, one, other):
                wants = one.edge.after_v * other.edge.after_v
                pair = frozenset((one.position.number, other.position.number))
                if wants < 0.0:
                    found.setdefault((one.table.id, pair), (one, other))
    return tuple(found.values())


def _in_line(study: Study, one: Meeting, other: Meeting) -> bool:
    """Return whether a bridge that is at one stall with its end is at the other too."""
    ends = (out_pose(study.layout, m.position.stall) for m in (one, other))
    here, there = ends
    if here is None or there is None:
        return False
    dx, dy = there.x_mm - here.x_mm, there.y_mm - here.y_mm
    aside = abs(-dx * sin(here.heading) + dy * cos(here.heading))
    turned = here.heading - there.heading - pi
    return aside <= FACE_MM and abs(atan2(sin(turned), cos(turned))) <= FACE_RAD


def end_place(study: Study, end: RunEnd) -> OnRun:
    """Return the place on a run at one of its ends."""
    run = study.layout.need(end.run, TrackRun)
    length = run_path(run).length_m if end.end == "end" else 0.0
    return OnRun(run=end.run, position_m=length)


def _meetings(study: Study, table: Turntable) -> Iterator[Meeting]:
    shorted = set(study.shorted)
    for position in positions(study.layout, table):
        unsure = is_swapping(table) and (
            off_swap_line_deg(table, position.angle_deg) < NO_POLE_DEG
        )
        edge = None if unsure else _edge(study, table, position)
        if edge is not None and shorted.isdisjoint(_tops(study, edge)):
            yield Meeting(table, position, edge)


def _edge(study: Study, table: Turntable, position: Position) -> Boundary | None:
    bridge = end_place(study, RunEnd(run=table.bridge, end=position.by))
    stall = end_place(study, position.stall)
    before = flank(study, bridge.run, bridge.position_m, 0.0)
    after = flank(study, stall.run, stall.position_m, 0.0)
    if before is None or after is None:
        return None
    return Boundary(
        part=table.id,
        place=stall,
        before_v=-before.volts if position.swapped else before.volts,
        after_v=-after.volts if position.crossed else after.volts,
        loop_ohm=before.loop + after.loop,
        feeds=(before.feed, after.feed),
        reversers=reversers_before(study, before.feed, after.feed),
    )


def _tops(study: Study, edge: Boundary) -> set[PartId]:
    return {study.feeds.chain(feed)[-1] for feed in edge.feeds if feed is not None}
