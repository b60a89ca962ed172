"""The wiring of the club layout: boosters, breakers, buses, strips, drops, trains."""

from core.layout.geometry import Path, Pose, bus_path, run_path
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
from tests.bench.tracks import PIECE_M, District, Site

DISTRICTS_A_BOOSTER = 3
BUS_WIRE = "4mm2-c5"
DROP_WIRE = "0.5mm2-c5"

WAYS = 12
"""Pairs of screws of a strip; one takes the bus, some stay free."""

DROPS_A_STRIP = 8
"""So many, so that leads stay short."""

HOLE_CLEAR_MM = 37.0
"""From the middle of a joist to a hole, at least. [mm]"""

TRAINS_A = (0.3, 0.5, 0.6, 0.9)
"""Amps of a train: one engine to three, some with sound. [A]"""


def lay_power(site: Site, districts: list[District]) -> None:
    """Add everything electrical to the laid track."""
    joists = sorted({p.x1_mm for p in site.parts.values() if isinstance(p, Joist)})
    for first in range(0, len(districts), DISTRICTS_A_BOOSTER):
        group = districts[first : first + DISTRICTS_A_BOOSTER]
        booster = _place_booster(site, group[len(group) // 2])
        for place, district in enumerate(group):
            legs = _feed_district(site, booster, district, place)
            _hang_drops(site, district, legs, joists)
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
    site: Site, district: District, legs: tuple[Bus, Bus], joists: list[float]
) -> None:
    for run in district.mains:
        for place in _places(run, joists):
            at = run_path(run).at(place.position_m)
            site.add(_drop(site, place, _nearest_tap(legs, at.x_mm, at.y_mm)))
    holes = [place for run in district.yard for place in _places(run, joists)]
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


def _places(run: TrackRun, joists: list[float]) -> list[OnRun]:
    """Return a place for a drop on each piece of a run, its hole clear of joists."""
    path = run_path(run)
    count = max(1, round(path.length_m / PIECE_M))
    middles = [path.length_m * (i + 0.5) / count for i in range(count)]
    return [OnRun(run=run.id, position_m=_beside(path, m, joists)) for m in middles]


def _beside(path: Path, position_m: float, joists: list[float]) -> float:
    """Return the nearest position, by centimetres, whose hole is clear of joists."""
    steps = [0.0] + [sign * 0.01 * n for n in range(1, 12) for sign in (1.0, -1.0)]
    places = (position_m + step for step in steps)
    return next(p for p in places if _is_clear(path.at(p), joists))


def _is_clear(pose: Pose, joists: list[float]) -> bool:
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
    """Add a train to one of the mains and standing stock to the yard."""
    run = district.mains[site.chance.randrange(2)]
    place = run_path(run).length_m * site.chance.random()
    train = Load(
        id=site.new_id("L"),
        name=f"Train {district.number}",
        on=OnRun(run=run.id, position_m=place),
        amps_a=site.chance.choice(TRAINS_A),
        length_m=1.2,
    )
    site.add(train)
    for track in district.yard[:2]:
        standing = Load(
            id=site.new_id("L"),
            name=f"Engine waiting on {track.name}",
            on=OnRun(run=track.id, position_m=run_path(track).length_m * 0.8),
            use="standing",
            amps_a=0.07,
        )
        site.add(standing)
