"""Borders: every cut through rails, with poles and districts on its two sides."""

from bisect import bisect_left
from dataclasses import dataclass
from typing import Literal

from core.analysis.districts import DistrictPlan
from core.analysis.poles import Pole, PolePlan
from core.analysis.study import Study
from core.layout.edits.sides import is_swapped, other_side
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import Gap, OnRun, RunEnd, Side, TrackJoint, TrackRun, Turnout
from core.network.sections import SAME_PLACE_M

Rails = Literal["left", "right", "both"]

State = Literal["open", "filled", "bridged", "insulated"]
"""A saw cut, one with plastic in it, one that metal joins again; joiners that part."""

NEAR_M = 1e-5
"""Places closer than this are one. [m]"""

SIDES: tuple[Side, Side] = ("left", "right")


@dataclass(frozen=True, slots=True)
class Flank:
    """One side of a border: the rails' poles there, and the district's number.

    Left and right are as seen on the run of the border's place. The number is 0, and
    a pole None, where nothing feeds it.
    """

    left: Pole | None
    right: Pole | None
    number: int

    def pole(self, side: Side) -> Pole | None:
        """Return the pole of one rail."""
        return self.left if side == "left" else self.right


@dataclass(frozen=True, slots=True)
class Border:
    """A gap, insulated joint or insulated leg, and what lies on its two sides.

    Attributes
    ----------
    part : PartId
        The gap, joint or turnout.
    place : OnRun
        Where it is.
    rails : str
        Which rails it cuts, as seen on the run of the place.
    mate : PartId or None
        A gap in the other rail, so near that the two make a double gap.
    state : str
        What is in a gap; "insulated" for joiners.
    before, after : Flank
        Towards the run's start and towards its end; the second side of a joint
        or leg is what the run goes on as.
    """

    part: PartId
    place: OnRun
    rails: Rails
    mate: PartId | None
    state: State
    before: Flank
    after: Flank

    @property
    def is_double(self) -> bool:
        """Whether both rails are cut here."""
        if self.state == "bridged":
            return False
        return self.rails == "both" or self.mate is not None

    @property
    def cut(self) -> tuple[Side, ...]:
        """The rails that this part itself cuts."""
        return SIDES if self.rails == "both" else (self.rails,)

    @property
    def flips(self) -> bool:
        """Whether a rail that is cut has the other pole beyond."""
        return any(
            {self.before.pole(s), self.after.pole(s)} == {"A", "B"} for s in self.cut
        )

    @property
    def parts_districts(self) -> bool:
        """Whether two districts meet here."""
        one, other = self.before.number, self.after.number
        return one != other and bool(one and other)


def find_borders(
    study: Study, poles: PolePlan | None, plan: DistrictPlan
) -> tuple[Border, ...]:
    """Return every border, those of gaps first; poles None: there is no booster."""
    reader = _Reader(study, poles, plan)
    layout = study.layout
    gaps = list(layout.of_kind(Gap))
    found = [reader.of_gap(gap, _mate(gap, gaps)) for gap in gaps]
    found.extend(
        reader.at_end(joint.id, joint.a, joint.insulated)
        for joint in layout.of_kind(TrackJoint)
        if joint.insulated != "none"
    )
    found.extend(
        reader.at_end(turnout.id, turnout.leg, turnout.leg_insulated)
        for turnout in layout.of_kind(Turnout)
        if turnout.leg_insulated != "none"
    )
    return tuple(border for border in found if border is not None)


def _state(gap: Gap) -> State:
    if gap.bridged:
        return "bridged"
    return "filled" if gap.filled else "open"


def _mate(gap: Gap, gaps: list[Gap]) -> PartId | None:
    """Return the nearest gap through the other rail beside this one."""
    if gap.rails == "both" or gap.bridged:
        return None
    beside = [
        (apart, other.id)
        for other in gaps
        if other.on.run == gap.on.run
        and not other.bridged
        and other.rails == other_side(gap.rails)
        and (apart := abs(other.on.position_m - gap.on.position_m))
        <= SAME_PLACE_M + 1e-9
    ]
    return min(beside)[1] if beside else None


class _Reader:
    """Reads poles and districts beside places of track."""

    def __init__(
        self, study: Study, poles: PolePlan | None, plan: DistrictPlan
    ) -> None:
        self._study, self._poles, self._plan = study, poles, plan
        self._beyond: dict[RunEnd, tuple[RunEnd | OnRun, bool]] = {}
        for joint in study.layout.of_kind(TrackJoint):
            self._beyond[joint.a] = (joint.b, is_swapped(joint))
            self._beyond[joint.b] = (joint.a, is_swapped(joint))
        for turnout in study.layout.of_kind(Turnout):
            self._beyond[turnout.leg] = (turnout.on, is_swapped(turnout))

    def of_gap(self, gap: Gap, mate: PartId | None) -> Border | None:
        """Return the border that a gap makes."""
        run, at = gap.on.run, gap.on.position_m
        if run not in self._plan.runs:
            return None
        at = min(at, self._length(run))
        before, after = (
            self._flank(run, at, ends_here=True) or self._past(run, "start"),
            self._flank(run, at, ends_here=False) or self._past(run, "end"),
        )
        return Border(gap.id, gap.on, gap.rails, mate, _state(gap), before, after)

    def at_end(self, part: PartId, end: RunEnd, rails: Rails) -> Border | None:
        """Return the border at an insulated run end, as seen on that run."""
        if end.run not in self._plan.runs:
            return None
        at = self._length(end.run) if end.end == "end" else 0.0
        here = self._at(end.run, at, ends_here=end.end == "end")
        beyond = self._past(end.run, end.end)
        before, after = (here, beyond) if end.end == "end" else (beyond, here)
        place = OnRun(run=end.run, position_m=at)
        return Border(part, place, rails, None, "insulated", before, after)

    def _past(self, run: PartId, which: Literal["start", "end"]) -> Flank:
        """Return what an end of a run goes on as, seen from that run."""
        beyond = self._beyond.get(RunEnd(run=run, end=which))
        if beyond is None:
            return _NOTHING
        to, swapped = beyond
        if isinstance(to, RunEnd):
            at = self._length(to.run) if to.end == "end" else 0.0
            found = self._at(to.run, at, ends_here=to.end == "end")
        else:
            found = self._at(to.run, to.position_m, ends_here=False)
        return _turned(found) if swapped else found

    def _at(self, run: PartId, at_m: float, *, ends_here: bool) -> Flank:
        return (
            self._flank(run, at_m, ends_here=ends_here)
            or self._flank(run, at_m, ends_here=not ends_here)
            or _NOTHING
        )

    def _length(self, run: PartId) -> float:
        return run_path(self._study.layout.need(run, TrackRun)).length_m

    def _flank(self, run: PartId, at_m: float, *, ends_here: bool) -> Flank | None:
        """Return the flank whose track ends (or begins) at a place of a run."""
        own = self._study.circuit.on_run.get(run, [])
        segments = self._study.circuit.segments
        if ends_here:
            i = bisect_left(own, at_m - NEAR_M, key=lambda i: segments[i].end_m)
        else:
            i = bisect_left(own, at_m + NEAR_M, key=lambda i: segments[i].end_m)
        if i == len(own):
            return None
        segment = segments[own[i]]
        if ends_here and segment.start_m > at_m - NEAR_M:
            return None
        # A little inside, where the rails have their poles whatever is cut.
        inside = min(0.5 * (segment.end_m - segment.start_m), NEAR_M)
        place = at_m - inside if ends_here else at_m + inside
        left, right = (self._pole(run, side, place) for side in SIDES)
        return Flank(left, right, self._plan.of_segment[own[i]])

    def _pole(self, run: PartId, side: Side, place_m: float) -> Pole | None:
        if self._poles is None or run not in self._poles.runs:
            return None
        stretch = self._poles.runs[run].at(side, place_m)
        return stretch.pole if stretch is not None else None


_NOTHING = Flank(None, None, 0)


def _turned(flank: Flank) -> Flank:
    return Flank(flank.right, flank.left, flank.number)
