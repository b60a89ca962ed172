"""The wiring of the club layout: boosters, breakers, buses, strips, drops, trains."""

from dataclasses import dataclass
from itertools import pairwise

from core.layout.geometry import Path, Pose, bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Drop,
    Inline,
    Joist,
    Load,
    OnRun,
    Point,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.layout.queries import joint_positions
from tests.bench.tracks import District, Site

DISTRICTS_A_BOOSTER = 3
BUS_WIRE = "4mm2-c5"
DROP_WIRE = "0.5mm2-c5"

WAYS = 12
"""Pairs of screws of a strip; one takes the bus, some stay free."""

DROPS_A_STRIP = 8
"""So many, so that leads stay short."""

SAME_M = 1e-3
"""Shorter lengths of metal get no drop. [m]"""

HOLE_CLEAR_MM = 37.0
"""From the middle of a joist to a hole, at least. [mm]"""

TRAINS_A = (0.3, 0.5, 0.6, 0.9)
"""Amps of a train's engines: one to three, some with sound. [A]"""

IDLE_A, COACH_A = 0.07, 0.02
"""A sound engine that stands, and a coach lit by diodes (common practice). [A]"""

COACHES, COACH_M = 4, 0.27
"""Coaches of a train, and from the middle of one to that of the next. [1, m]"""


@dataclass(frozen=True, slots=True)
class _Ground:
    """What drops go by.

    Attributes
    ----------
    joists_mm : tuple of float
        Where joists cross the rows. [mm]
    cuts : dict of PartId to list of float
        Where live crossings part a rail of each run. [m]
    """

    joists_mm: tuple[float, ...]
    cuts: dict[PartId, list[float]]


def _survey(site: Site) -> _Ground:
    joists = {p.x1_mm for p in site.parts.values() if isinstance(p, Joist)}
    cuts: dict[PartId, list[float]] = {}
    for run, position_m, _ in site.frog_cuts():
        cuts.setdefault(run, []).append(position_m)
    return _Ground(tuple(sorted(joists)), cuts)


def lay_power(site: Site, districts: list[District]) -> None:
    """Add everything electrical to the laid track."""
    ground = _survey(site)
    for first in range(0, len(districts), DISTRICTS_A_BOOSTER):
        group = districts[first : first + DISTRICTS_A_BOOSTER]
        booster = _place_booster(site, group[len(group) // 2])
        for place, district in enumerate(group):
            legs = _feed_district(site, booster, district, place)
            _hang_drops(site, district, legs, ground)
            _place_trains(site, district)


def _middle_m(district: District) -> float:
    return (district.starts_m[0] + district.ends_m[0]) / 2.0


def _place_booster(site: Site, district: District) -> Booster:
    x, y = site.paths[0].at(_middle_m(district)).left(-250.0)
    booster = Booster(id=site.new_id("PB"), x_mm=x, y_mm=y, common="separate")
    site.add(booster)
    return booster


def _feed_district(
    site: Site, booster: Booster, district: District, place: int
) -> tuple[Bus, Bus]:
    """Add breaker, home run and the two legs; return the legs."""
    breaker = Inline(
        id=site.new_id("CB"),
        name=f"District {district.number}",
        device="breaker",
        x_mm=booster.x_mm + 120.0 * (place + 1),
        y_mm=booster.y_mm,
        feed=ToPort(part=booster.id),
    )
    site.add(breaker)
    middle = _middle_m(district)
    here = site.paths[0].nearest(booster.x_mm, booster.y_mm).position_m
    way = _along(site.paths[0], here, middle)
    feeder = _bus(
        site,
        f"Feeder of district {district.number}",
        (Point(x_mm=breaker.x_mm, y_mm=breaker.y_mm), *way),
        ToPort(part=breaker.id),
    )
    start, end = district.starts_m[0], district.ends_m[0]
    tap = ToBus(part=feeder.id, position_m=bus_path(feeder).length_m)
    legs = tuple(
        _bus(
            site,
            f"{name} leg of district {district.number}",
            _along(site.paths[0], middle, to),
            tap,
        )
        for name, to in (("First", start), ("Second", end))
    )
    return legs[0], legs[1]


def _along(path: Path, start_m: float, end_m: float) -> tuple[Point, ...]:
    """Return a bus's corners under the mains, from one position to another. [m]"""
    low, high = min(start_m, end_m), max(start_m, end_m)
    line = path.line(low, max(high, low + 0.01), step_mm=250.0, offset_mm=31.0)
    points = [Point(x_mm=float(x), y_mm=float(y)) for x, y in line]
    return tuple(points if start_m <= end_m else reversed(points))


def _bus(site: Site, name: str, points: tuple[Point, ...], start: Attachment) -> Bus:
    bus = Bus(id=site.new_id("B"), name=name, points=points, wire=BUS_WIRE, start=start)
    site.add(bus)
    return bus


def _hang_drops(
    site: Site, district: District, legs: tuple[Bus, Bus], ground: _Ground
) -> None:
    for run in district.mains:
        for place in _places(run, ground):
            at = run_path(run).at(place.position_m)
            site.add(_drop(site, place, _nearest_tap(legs, at.x_mm, at.y_mm)))
    holes = [place for run in district.yard for place in _places(run, ground)]
    holes.sort(key=lambda place: _reach(site, place))
    for first in range(0, len(holes), DROPS_A_STRIP):
        _hang_on_strip(site, holes[first : first + DROPS_A_STRIP], legs)


def _hang_on_strip(site: Site, holes: list[OnRun], legs: tuple[Bus, Bus]) -> None:
    """Add a strip amid some holes, the stub of bus that feeds it, and the drops."""
    poses = [_pose(site, hole) for hole in holes]
    x = sum(pose.x_mm for pose in poses) / len(poses)
    y = sum(pose.y_mm for pose in poses) / len(poses)
    strip = Strip(id=site.new_id("TS"), x_mm=x, y_mm=y, ways=WAYS)
    tap = _nearest_tap(legs, x, y)
    leg = legs[0] if tap.part == legs[0].id else legs[1]
    at = bus_path(leg).at(tap.position_m)
    stub = Bus(
        id=site.new_id("B"),
        name=f"Stub to {strip.id}",
        points=(Point(x_mm=at.x_mm, y_mm=at.y_mm), Point(x_mm=x, y_mm=y)),
        wire=BUS_WIRE,
        start=tap,
        end=ToStrip(part=strip.id, way=1),
    )
    site.add(strip, stub)
    for way, hole in enumerate(holes, start=2):
        site.add(_drop(site, hole, ToStrip(part=strip.id, way=way)))


def _drop(site: Site, place: OnRun, to: Attachment) -> Drop:
    contact = "tap" if isinstance(to, ToBus) else "screw"
    return Drop(
        id=site.new_id("D"),
        on=place,
        to=to,
        wire=DROP_WIRE,
        a_rail="right",
        contact=contact,
    )


def _places(run: TrackRun, ground: _Ground) -> list[OnRun]:
    """Return a place for a drop on each length of metal, its hole clear of joists."""
    path = run_path(run)
    ends = {0.0, *joint_positions(run), *ground.cuts.get(run.id, ()), path.length_m}
    return [
        OnRun(run=run.id, position_m=_amid(path, low, high, ground.joists_mm))
        for low, high in pairwise(sorted(ends))
        if high - low > SAME_M
    ]


def _amid(path: Path, low: float, high: float, joists: tuple[float, ...]) -> float:
    """Return the place nearest to the middle of a stretch whose hole is clear. [m]"""
    middle, reach = (low + high) / 2.0, (high - low) / 2.0
    count = int(reach / 0.01)
    steps = [0.0] + [sign * 0.01 * n for n in range(1, count) for sign in (1.0, -1.0)]
    places = (middle + step for step in steps)
    return next((p for p in places if _is_clear(path.at(p), joists)), middle)


def _is_clear(pose: Pose, joists: tuple[float, ...]) -> bool:
    return all(abs(pose.x_mm - x) >= HOLE_CLEAR_MM for x in joists)


def _nearest_tap(legs: tuple[Bus, Bus], x_mm: float, y_mm: float) -> ToBus:
    near = [(bus_path(leg).nearest(x_mm, y_mm), leg) for leg in legs]
    place, leg = min(near, key=lambda found: found[0].distance_mm)
    return ToBus(part=leg.id, position_m=place.position_m)


def _reach(site: Site, place: OnRun) -> float:
    """Return how far along the first main a place lies, to sort holes by. [m]"""
    pose = _pose(site, place)
    return site.paths[0].nearest(pose.x_mm, pose.y_mm).position_m


def _pose(site: Site, place: OnRun) -> Pose:
    run = site.parts[place.run]
    assert isinstance(run, TrackRun)
    return run_path(run).at(place.position_m)


def _place_trains(site: Site, district: District) -> None:
    """Let a train run on one main and one wait on the other; fill the yard."""
    mains = list(district.mains[:2])
    site.chance.shuffle(mains)
    for run, name, amps in zip(
        mains,
        (f"Train {district.number}", f"Waiting train {district.number}"),
        (site.chance.choice(TRAINS_A), IDLE_A),
        strict=True,
    ):
        _place_train(site, run, name, amps, site.chance.random())
    for track in district.yard:
        _place_train(site, track, f"Train on {track.name}", IDLE_A, 1.0)


def _place_train(
    site: Site, run: TrackRun, name: str, amps: float, share: float
) -> None:
    """Put engines at a share of what a run has room for, lit coaches behind them."""
    tail_m = COACHES * COACH_M
    head = tail_m + (run_path(run).length_m - tail_m) * share * 0.98
    moves = amps > IDLE_A
    site.add(
        Load(
            id=site.new_id("L"),
            name=name,
            on=OnRun(run=run.id, position_m=head),
            use="train" if moves else "standing",
            amps_a=amps,
            length_m=tail_m + COACH_M / 2.0 if moves else 0.0,
        )
    )
    for number in range(1, COACHES + 1):
        site.add(
            Load(
                id=site.new_id("L"),
                name=f"{name}, coach {number}",
                on=OnRun(run=run.id, position_m=head - number * COACH_M),
                use="standing",
                amps_a=COACH_A,
            )
        )
