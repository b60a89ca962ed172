"""The track of the club layout, district by district, and the bench under it."""

from dataclasses import dataclass, field
from math import acos, ceil, cos, degrees, radians, sin
from random import Random
from typing import Protocol

from msgspec.structs import replace

from core.layout.geometry import Path, Pose, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Arc,
    Board,
    Gap,
    Joist,
    OnRun,
    Part,
    Piece,
    RunEnd,
    Side,
    Straight,
    TrackJoint,
    TrackRun,
    Turnout,
)
from tests.bench.serpentine import SPACING_MM, TURN_MM, Serpentine, cut

PIECE_M = 0.914
"""Length of a piece of flexible track, three feet. [m]"""

FROG_DEG = 9.5
"""Angle of the yards' turnouts, about a number 6. [°]"""

LEADS_M = (0.2, 0.12, 0.3)
"""From blade tips to the live crossing: of short turnouts and long. [m]"""

CONTACT_A = 10.0
"""What the change-over contact of a live crossing bears. [A]"""

CLEAR_M = 0.08
"""A live crossing keeps this far from a joint, for a hole between them. [m]"""

CURVE_MM = 1000.0
"""Radius of the curves next to a yard's turnouts. [mm]"""

CROSSING_MM = 900.0
"""Radius of the two curves of a crossover. [mm]"""

JOIST_MM = 600.0
"""From joist to joist. [mm]"""

SECTION_MM = 2400.0
"""Length of a board. [mm]"""


class Site(Protocol):
    """What is needed of the place where the layout is made."""

    chance: Random
    mains: tuple[Serpentine, Serpentine]
    paths: tuple[Path, Path]
    parts: dict[PartId, Part]

    def new_id(self, prefix: str) -> PartId:
        """Return the next id of a kind."""

    def add(self, *parts: Part) -> None:
        """Put parts on the layout."""

    def frog_cuts(self) -> tuple[tuple[PartId, float, Side], ...]:
        """Return where live crossings part a rail: run, place [m], side."""


@dataclass(slots=True)
class District:
    """One breaker's worth of track.

    Attributes
    ----------
    starts_m, ends_m : tuple of float
        Where it begins and ends along each of the two mains. [m]
    mains : list of TrackRun
        Its stretch of each main, and the crossover where it has one.
    yard : list of TrackRun
        Its yard's tracks; empty where it has none.
    """

    number: int
    starts_m: tuple[float, float]
    ends_m: tuple[float, float]
    mains: list[TrackRun] = field(default_factory=list)
    yard: list[TrackRun] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class YardPlan:
    """A yard: how many tracks of how many pieces, and where its toe is.

    The first run is the ladder, which becomes the last track.
    """

    tracks: int
    pieces: int
    toe_m: float

    @property
    def ladder_pieces(self) -> int:
        """Pieces of the ladder with the track it becomes."""
        return self.pieces + ceil(self.toe_on_ladder_mm(self.tracks) / PIECE_M / 1000.0)

    @property
    def count(self) -> int:
        """All pieces of the yard."""
        return self.ladder_pieces + (self.tracks - 1) * self.pieces

    @staticmethod
    def toe_on_ladder_mm(track: int) -> float:
        """Return where along the ladder a track leaves, counted from 1. [mm]

        The two curves shift the track by R·(1 − cos f) each; the straight
        between them by its length times sin f.
        """
        f = radians(FROG_DEG)
        shift = track * SPACING_MM - 2.0 * CURVE_MM * (1.0 - cos(f))
        return CURVE_MM * f + shift / sin(f)


def lay_district(
    site: Site, number: int, pieces: int, starts_m: tuple[float, float]
) -> District:
    """Add the track of a district and return it."""
    crossover = number % 3 == 1
    yard = _plan_yard(site, pieces - crossover, starts_m) if number % 2 else None
    left = pieces - crossover - (yard.count if yard else 0)
    ends_m = _extend(starts_m, left)
    district = District(number, starts_m, ends_m)
    for which in (0, 1):
        district.mains.append(_lay_main(site, district, which))
    if yard:
        _lay_yard(site, district, yard)
    if crossover:
        _lay_crossover(site, district, yard)
    return district


def _extend(starts_m: tuple[float, float], pieces: int) -> tuple[float, float]:
    """Share pieces out to the two mains; the shorter one gets the odd piece."""
    first = pieces // 2
    if pieces % 2 and starts_m[0] <= starts_m[1]:
        first += 1
    return starts_m[0] + first * PIECE_M, starts_m[1] + (pieces - first) * PIECE_M


def _plan_yard(
    site: Site, pieces: int, starts_m: tuple[float, float]
) -> YardPlan | None:
    """Return the largest yard of a shuffled list that the district has room for."""
    options = [(tracks, length) for tracks in (5, 4, 3) for length in (4, 3, 2)]
    site.chance.shuffle(options)
    for tracks, length in options:
        trial = YardPlan(tracks, length, 0.0)
        if trial.count > 0.6 * pieces:
            continue
        end_m = _extend(starts_m, pieces - trial.count)[0]
        straights = site.mains[0].straights(starts_m[0] + 0.2, end_m)
        for low, high in straights:
            if high - low > 0.7 and _room(site, low) > trial.ladder_pieces * PIECE_M:
                return YardPlan(tracks, length, low + 0.3)
    return None


def _room(site: Site, position_m: float) -> float:
    """Return how far the straight goes on from a place on the first main. [m]"""
    far = site.mains[0].straights(position_m, position_m + site.mains[0].row_mm / 1000)
    return far[0][1] - far[0][0] - 0.3 if far else 0.0


def _lay_main(site: Site, district: District, which: int) -> TrackRun:
    start_m, end_m = district.starts_m[which], district.ends_m[which]
    pose = site.paths[which].at(start_m)
    name = f"Main {which + 1}, district {district.number}"
    pieces = cut(site.mains[which].pieces(), start_m * 1e3, (end_m - start_m) * 1e3)
    run = _run(site, name, pose, tuple(pieces))
    before = _run_ending(site, which, district.number - 1)
    if before is not None:
        _part_from(site, before, run, insulated=which == 0)
    return run


def _part_from(site: Site, before: PartId, run: TrackRun, *, insulated: bool) -> None:
    """Join a run to the one before it and part them: insulated joint, or cut."""
    site.add(
        TrackJoint(
            id=site.new_id("J"),
            a=RunEnd(run=before, end="end"),
            b=RunEnd(run=run.id, end="start"),
            insulated="both" if insulated else "none",
        )
    )
    if not insulated:
        start = OnRun(run=run.id, position_m=0.0)
        site.add(Gap(id=site.new_id("G"), on=start, filled=True))


def _run_ending(site: Site, which: int, number: int) -> PartId | None:
    name = f"Main {which + 1}, district {number}"
    runs = (p for p in site.parts.values() if isinstance(p, TrackRun))
    return next((run.id for run in runs if run.name == name), None)


def _lay_yard(site: Site, district: District, plan: YardPlan) -> None:
    main = district.mains[0]
    toe_m = plan.toe_m - district.starts_m[0]
    last = _leg_pieces(
        plan.toe_on_ladder_mm(plan.tracks), plan.ladder_pieces * PIECE_M * 1e3
    )
    name = f"Yard {district.number}, track {plan.tracks}"
    ladder = _run(site, name, run_path(main).at(toe_m), last)
    district.yard.append(ladder)
    site.add(_turnout(site, OnRun(run=main.id, position_m=toe_m), ladder, "right"))
    for track in range(1, plan.tracks):
        toe = plan.toe_on_ladder_mm(track) / 1000.0
        pieces = _straighten(plan.pieces * PIECE_M * 1e3)
        name = f"Yard {district.number}, track {track}"
        leg = _run(site, name, run_path(ladder).at(toe), pieces)
        district.yard.append(leg)
        site.add(_turnout(site, OnRun(run=ladder.id, position_m=toe), leg, "left"))


def _leg_pieces(until_mm: float, length_mm: float) -> tuple[Piece, ...]:
    """Return curve, ladder, curve back and track, of a whole length. [mm]"""
    curve = CURVE_MM * radians(FROG_DEG)
    return (
        Arc(radius_mm=CURVE_MM, sweep_deg=-FROG_DEG),
        Straight(length_mm=until_mm - curve),
        Arc(radius_mm=CURVE_MM, sweep_deg=FROG_DEG),
        Straight(length_mm=length_mm - until_mm - curve),
    )


def _straighten(length_mm: float) -> tuple[Piece, ...]:
    curve = CURVE_MM * radians(FROG_DEG)
    return (
        Arc(radius_mm=CURVE_MM, sweep_deg=FROG_DEG),
        Straight(length_mm=length_mm - curve),
    )


def _lay_crossover(site: Site, district: District, yard: YardPlan | None) -> None:
    """Add a crossover on the district's longest straight, clear of the yard's toe.

    Two equal curves shift it by 2·R·(1 − cos a), the distance of the mains.
    """
    first, second = district.mains[:2]
    angle = degrees(acos(1.0 - SPACING_MM / (2.0 * CROSSING_MM)))
    straights = site.mains[0].straights(district.starts_m[0], district.ends_m[0])
    low, high = max(straights, key=lambda s: s[1] - s[0])
    toe = min(max(low, yard.toe_m + 0.3 if yard else low) + 0.2, high - 0.9)
    at = run_path(first).at(toe - district.starts_m[0])
    curves: tuple[Piece, ...] = (
        Arc(radius_mm=CROSSING_MM, sweep_deg=angle),
        Arc(radius_mm=CROSSING_MM, sweep_deg=-angle),
    )
    run = _run(site, f"Crossover {district.number}", at, curves)
    end = run_path(run).end
    there = run_path(second).nearest(end.x_mm, end.y_mm)
    on_first = OnRun(run=first.id, position_m=toe - district.starts_m[0])
    on_second = OnRun(run=second.id, position_m=there.position_m)
    site.add(_turnout(site, on_first, run, "left"))
    back = Turnout(
        id=site.new_id("T"),
        on=on_second,
        opens="backward",
        hand="left",
        leg=RunEnd(run=run.id, end="end"),
    )
    site.add(_live(back))
    district.mains.append(run)


def _run(site: Site, name: str, pose: Pose, pieces: tuple[Piece, ...]) -> TrackRun:
    run = TrackRun(
        id=site.new_id("R"),
        name=name,
        x_mm=pose.x_mm,
        y_mm=pose.y_mm,
        heading_deg=degrees(pose.heading),
        pieces=pieces,
        rail="code83-ns",
        piece_length_m=PIECE_M,
    )
    site.add(run)
    return run


def _turnout(site: Site, on: OnRun, leg: TrackRun, hand: Side) -> Turnout:
    leg_end = RunEnd(run=leg.id, end="start")
    return _live(Turnout(id=site.new_id("T"), on=on, hand=hand, leg=leg_end))


def _live(turnout: Turnout) -> Turnout:
    """Return a turnout with a live crossing that lies clear of joints."""
    toe_m, way = turnout.on.position_m, 1.0 if turnout.opens == "forward" else -1.0
    beyond = ((lead, (toe_m + way * lead) % PIECE_M) for lead in LEADS_M)
    lead_m = next(lead for lead, at in beyond if CLEAR_M < at < PIECE_M - CLEAR_M)
    return replace(turnout, frog="switched", lead_m=lead_m, contact_a=CONTACT_A)


def lay_benchwork(site: Site, districts: list[District]) -> None:
    """Add a board under each stretch of each row, and the joists across it."""
    row_mm = site.mains[0].row_mm
    end = max(run_path(d.mains[0]).bounds()[3] for d in districts)
    rows = int(end // (2.0 * TURN_MM)) + 1
    sections = ceil(row_mm / SECTION_MM)
    width = row_mm / sections
    for row in range(rows):
        # The yards lie on the outer side of the first main, towards the aisle.
        y = row * 2.0 * TURN_MM + (-450.0 if row % 2 == 0 else -150.0)
        for section in range(sections):
            name = f"Row {row + 1}, board {section + 1}"
            site.add(
                Board(
                    id=site.new_id("BD"),
                    name=name,
                    x_mm=section * width,
                    y_mm=y,
                    width_mm=width,
                    depth_mm=600.0,
                    aisle="front" if row % 2 == 0 else "back",
                )
            )
        for i in range(int(row_mm // JOIST_MM) + 1):
            x = i * JOIST_MM
            joist = Joist(
                id=site.new_id("JS"), x1_mm=x, y1_mm=y, x2_mm=x, y2_mm=y + 600.0
            )
            site.add(joist)
