"""Many turnouts: stations of live crossings in a row, and a loop at both ends."""

from collections.abc import Iterator

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    Gap,
    Inline,
    Load,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Side,
    Straight,
    ToBus,
    ToPort,
    TrackJoint,
    TrackRun,
    Turnout,
)

SIDINGS = 8
"""Sidings of a station. [1]"""

APART_M = 0.9
"""From toe to toe along a station's main. [m]"""

BOOSTED = 4
"""Stations behind one booster. [1]"""


def station_layout(turnouts: int = 200) -> Layout:
    """Return a railway with so many turnouts, drawn by its lengths alone.

    Every station is a district behind a breaker of its own, every siding has a live
    crossing and is fed behind its heel gaps; both loops are cut twice and turned.
    It is wired soundly.
    """
    assert turnouts > 2, "two loops have a turnout each"
    count = -(-(turnouts - 2) // SIDINGS)
    parts: list[Part] = [
        Settings(title=f"{turnouts} turnouts", scale="HO", test_train_a=0.5)
    ]
    for number in range(1, count + 1):
        parts += _station(number, min(SIDINGS, turnouts - 2 - SIDINGS * (number - 1)))
    for number in range(1, count):
        ends = _end(f"R{100 * number}", "end"), _end(f"R{100 * number + 100}", "start")
        parts.append(_joint(number, *ends, insulated=True))
    parts += _loop(1, _end("R100", "start"), "right", "CB1")
    parts += _loop(2, _end(f"R{100 * count}", "end"), "left", f"CB{count}")
    return Layout({part.id: part for part in parts})


def _station(number: int, sidings: int) -> Iterator[Part]:
    if (number - 1) % BOOSTED == 0:
        yield Booster(
            id=PartId(_booster(number)), x_mm=0.0, y_mm=-500.0, common="separate"
        )
    breaker = f"CB{number}"
    yield _device(breaker, _booster(number))
    main, length = 100 * number, APART_M * (SIDINGS + 1)
    yield _run(main, length, number)
    yield _bus(number, breaker, length, number)
    yield _drop(10 * main, main, 0.3, number)
    for k in range(1, sidings + 1):
        toe = APART_M * k
        yield _run(main + k, 1.5, number, toe)
        yield Turnout(
            id=PartId(f"T{main + k}"),
            on=OnRun(run=PartId(f"R{main}"), position_m=toe),
            leg=_end(f"R{main + k}", "start"),
            hand="left" if k % 2 else "right",
            frog="switched" if k % 3 else "self-powered",
            joint="soldered",
        )
        yield _drop(10 * main + k, main, toe + 0.4, number)
        yield _drop(10 * (main + k), main + k, 0.8, number, start_m=toe)
    place = OnRun(run=PartId(f"R{main}"), position_m=0.5)
    yield Load(id=PartId(f"L{number}"), on=place, amps_a=0.5, length_m=1.2)


def _loop(number: int, to: RunEnd, a_rail: Side, breaker: str) -> Iterator[Part]:
    """Yield 1 m of stem and 4 m of loop, joined to a station's end."""
    run = PartId(f"R{number}")
    row, stem, turned = -number, 9000 + number, 9100 + number
    yield _run(number, 5.0, row)
    yield _joint(9000 + number, to, _end(run, "start"), insulated=False)
    yield Turnout(
        id=PartId(f"T{number}"),
        on=OnRun(run=run, position_m=1.0),
        leg=_end(run, "end"),
        joint="soldered",
    )
    for i, place in enumerate((1.3, 4.7)):
        on = OnRun(run=run, position_m=place)
        yield Gap(id=PartId(f"G{2 * number - 1 + i}"), on=on, filled=True)
    yield _device(f"AR{number}", breaker)
    yield _bus(stem, breaker, 5.0, row)
    yield _bus(turned, f"AR{number}", 5.0, row)
    yield _drop(number, number, 0.5, stem, a_rail=a_rail)
    for i, place in enumerate((1.6, 3.0, 4.4)):
        yield _drop(10 * number + i, number, place, turned, a_rail=a_rail)


def _booster(station: int) -> str:
    return f"PB{(station - 1) // BOOSTED + 1}"


def _device(name: str, feed: str) -> Inline:
    turns = name.startswith("AR")
    return Inline(
        id=PartId(name),
        device="reverser" if turns else "breaker",
        x_mm=0.0,
        y_mm=-400.0,
        feed=ToPort(part=PartId(feed)),
        trip_a=3.0 if turns else 4.0,
        trip_s=0.005 if turns else 0.016,
    )


def _run(number: int, length_m: float, row: int, start_m: float = 0.0) -> TrackRun:
    return TrackRun(
        id=PartId(f"R{number}"),
        x_mm=1000.0 * start_m,
        y_mm=100.0 * row,
        heading_deg=0.0,
        pieces=(Straight(length_mm=1000.0 * length_m),),
        rail="code83-ns",
        joint="soldered",
    )


def _bus(number: int, device: str, length_m: float, row: int) -> Bus:
    ends = (Point(x_mm=x, y_mm=100.0 * row - 40.0) for x in (0.0, 1000.0 * length_m))
    return Bus(
        id=PartId(f"B{number}"),
        points=tuple(ends),
        start=ToPort(part=PartId(device)),
    )


def _drop(
    number: int,
    run: int,
    place_m: float,
    bus: int,
    *,
    a_rail: Side = "left",
    start_m: float = 0.0,
) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(f"R{run}"), position_m=place_m),
        to=ToBus(part=PartId(f"B{bus}"), position_m=start_m + place_m),
        a_rail=a_rail,
    )


def _end(run: str, end: str) -> RunEnd:
    return RunEnd(run=PartId(run), end="end" if end == "end" else "start")


def _joint(number: int, a: RunEnd, b: RunEnd, *, insulated: bool) -> TrackJoint:
    return TrackJoint(
        id=PartId(f"J{number}"),
        a=a,
        b=b,
        joint="soldered",
        insulated="both" if insulated else "none",
    )
