"""The gap list: every cut through a rail, where, how filled, what lies on its sides."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from core.analysis.borders import Border, Flank, Rails, find_borders
from core.analysis.districts import DistrictPlan, find_districts
from core.analysis.poles import Pole, find_poles
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Edge, Gap, Inline, OnRun, Side, TrackRun
from core.materials.growth import growth, swing_k
from core.network.crossings import plan_crossings
from core.network.frogs import FrogPlan, plan_frogs
from core.network.heels import find_fed_heels
from core.sheet.schedules.proving.spots import Spot, Spots
from core.sheet.schedules.track.ends import OPPOSITE, Ends, way_along
from core.sheet.schedules.words import rail_edge, titled

Filling = Literal["air", "plastic", "metal", "joiner", "fill"]
"""What is between the ends: as noted; insulated joiners; or to be filled."""

SAME_CUT_M = 0.05
"""A gap that was drawn this near to a crossing's own is that one. [m]"""


@dataclass(frozen=True, slots=True)
class CutRail:
    """A rail that is cut: which way it lies of its track, its pole before and after."""

    edge: Edge
    before: Pole | None
    after: Pole | None


@dataclass(frozen=True, slots=True)
class Beside:
    """What lies on one side of a cut: which way, and what feeds it; "" for nothing."""

    way: Edge
    feed: str


@dataclass(frozen=True, slots=True)
class GapRow:
    """One cut.

    Attributes
    ----------
    name : str
        What it is called: the gap's id, or that of the joint or turnout.
    spot : Spot
        Where it is.
    end_m : float
        How far from the nearer end of its run. [m]
    end : str
        What that end is.
    rails : tuple of CutRail
        Each rail that is cut.
    filling : str
        What is between the ends.
    sides : tuple of two Beside
        What lies towards the run's start, and towards its end.
    grows_m : float
        How much a piece of that rail grows over the year. [m]
    missing : bool
        Whether it is not in the plan but must be.
    note : str
        The person's own words.
    """

    name: str
    spot: Spot
    end_m: float
    end: str
    rails: tuple[CutRail, ...]
    filling: Filling
    sides: tuple[Beside, Beside]
    grows_m: float
    missing: bool = False
    note: str = ""


def gap_rows(study: Study) -> tuple[GapRow, ...]:
    """Return every cut once, in the order one walks; those of crossings too."""
    rows = list(_Lister(study).rows())
    return tuple(sorted(rows, key=lambda r: (r.spot.turn, r.name)))


class _Lister:
    def __init__(self, study: Study) -> None:
        self._study = study
        self._layout: Layout = study.layout
        self._plan: DistrictPlan = find_districts(study)
        self._poles = find_poles(study)
        self._spots = Spots(study.layout)
        self._ends = Ends(study.layout)

    def rows(self) -> Iterable[GapRow]:
        for border in find_borders(self._study, self._poles, self._plan):
            yield self._of_border(border)
        bare = {turnout for turnout, _ in find_fed_heels(self._layout)}
        for plan in plan_frogs(self._layout):
            if plan.turnout.heel_gaps or plan.turnout.id in bare:
                missing = not plan.turnout.heel_gaps
                yield from self._behind(plan, missing=missing)
        for crossing in plan_crossings(self._layout):
            part = crossing.crossing.id
            for number, cut in enumerate(crossing.cuts(), start=1):
                yield from self._cut_out(f"{part} cut {number}", *cut)

    def _of_border(self, border: Border) -> GapRow:
        gap = self._layout.get(border.part, Gap)
        filling: Filling = "joiner"
        if gap is not None:
            filling = "plastic" if gap.filled else "air"
            filling = "metal" if gap.bridged else filling
        return self._row(
            border.part,
            border.place,
            border.rails,
            filling,
            (border.before, border.after),
            note=gap.note if gap is not None else "",
        )

    def _behind(self, plan: FrogPlan, *, missing: bool) -> Iterable[GapRow]:
        """Yield the two cuts through the inner rails behind a crossing."""
        turnout = plan.turnout
        for name, run, at, side, ahead in (
            (
                f"{turnout.id} cut 1",
                turnout.on.run,
                plan.frog_m,
                plan.inner,
                plan.ahead,
            ),
            (
                f"{turnout.id} cut 2",
                turnout.leg.run,
                plan.leg_frog_m,
                plan.leg_inner,
                plan.leg_ahead,
            ),
        ):
            for row in self._cut_out(name, run, at, side, missing=missing):
                near, far = row.sides if ahead else row.sides[::-1]
                near = Beside(near.way, f"frog of {turnout.id}")
                yield replace(row, sides=(near, far) if ahead else (far, near))

    def _cut_out(
        self, name: str, run: PartId, at_m: float, side: Side, *, missing: bool = False
    ) -> Iterable[GapRow]:
        """Yield a cut that a live crossing needs, unless it is drawn as a gap."""
        if not self._is_drawn(run, at_m, side):
            flanks = (
                self._flank(run, at_m - SAME_CUT_M),
                self._flank(run, at_m + SAME_CUT_M),
            )
            on = OnRun(run=run, position_m=at_m)
            yield self._row(name, on, side, "fill", flanks, missing=missing)

    def _is_drawn(self, run: PartId, at_m: float, side: Side) -> bool:
        return any(
            gap.on.run == run
            and gap.rails in (side, "both")
            and abs(gap.on.position_m - at_m) <= SAME_CUT_M
            for gap in self._layout.of_kind(Gap)
        )

    def _flank(self, run: PartId, at_m: float) -> Flank:
        district = self._plan.at(run, at_m)
        poles = self._poles.runs.get(run) if self._poles is not None else None
        found: list[Pole | None] = []
        for stretches in (poles.left, poles.right) if poles is not None else ((), ()):
            pole = next((s.pole for s in stretches if at_m <= s.end_m), None)
            found.append(pole)
        return Flank(found[0], found[1], district.number if district else 0)

    def _row(  # noqa: PLR0913
        self,
        name: str,
        on: OnRun,
        rails: Rails,
        filling: Filling,
        flanks: tuple[Flank, Flank],
        *,
        missing: bool = False,
        note: str = "",
    ) -> GapRow:
        run = self._layout.need(on.run, TrackRun)
        before, after = flanks
        sides: tuple[Side, ...] = ("left", "right") if rails == "both" else (rails,)
        way = way_along(run, on.position_m)
        end_m, end = self._ends.nearest(on)
        swing = swing_k(self._layout.settings.scale)
        return GapRow(
            name=name,
            spot=self._spots.spot(on.run, on.position_m),
            end_m=end_m,
            end=end,
            rails=tuple(
                CutRail(
                    rail_edge(run, on.position_m, side),
                    before.pole(side),
                    after.pole(side),
                )
                for side in sides
            ),
            filling=filling,
            sides=(
                Beside(OPPOSITE[way], self._feed(before)),
                Beside(way, self._feed(after)),
            ),
            grows_m=growth(run.rail, run.piece_length_m, swing),
            missing=missing,
            note=note,
        )

    def _feed(self, flank: Flank) -> str:
        district = self._plan.get(flank.number)
        if district is None:
            return ""
        return " + ".join(self._named(feeder) for feeder in district.feeders)

    def _named(self, part: PartId) -> str:
        device = self._layout.parts[part]
        assert isinstance(device, Booster | Inline)
        return titled(part, device.name)
