"""Small layouts for tests, drawn in code."""

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Booster,
    Bus,
    Drop,
    Inline,
    Load,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Straight,
    ToBus,
    ToPort,
    TrackJoint,
    TrackRun,
)


def layout_of(*parts: Part) -> Layout:
    return Layout({part.id: part for part in parts})


def straight(
    length_m: float = 4.0, *, run: str = "R1", y_mm: float = 0.0, piece_m: float = 0.914
) -> TrackRun:
    return TrackRun(
        id=PartId(run),
        name="Main",
        x_mm=0.0,
        y_mm=y_mm,
        heading_deg=0.0,
        pieces=(Straight(length_mm=length_m * 1000.0),),
        piece_length_m=piece_m,
    )


def booster() -> Booster:
    return Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-500.0)


def straight_bus(length_m: float = 4.0, *, to: str = "PB1") -> Bus:
    return Bus(
        id=PartId("B1"),
        points=(
            Point(x_mm=0.0, y_mm=-500.0),
            Point(x_mm=length_m * 1000.0, y_mm=-500.0),
        ),
        start=ToPort(part=PartId(to)),
    )


def drop(
    number: int, at_m: float, *, run: str = "R1", bus_m: float | None = None
) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(run), position_m=at_m),
        to=ToBus(part=PartId("B1"), position_m=at_m if bus_m is None else bus_m),
        lead_m=0.3,
    )


def small_line(
    *more: Part, length_m: float = 4.0, drops: tuple[float, ...] = (0.5, 2.0, 3.5)
) -> Layout:
    """Return a straight with a booster, a bus along it and a few drops."""
    return layout_of(
        Settings(),
        straight(length_m),
        booster(),
        straight_bus(length_m),
        *(drop(i + 1, at) for i, at in enumerate(drops)),
        *more,
    )


def train(number: int, at_m: float, amps: float, *, run: str = "R1") -> Load:
    return Load(
        id=PartId(f"L{number}"),
        on=OnRun(run=PartId(run), position_m=at_m),
        amps_a=amps,
    )


def watts(number: int, at_m: float, watts_w: float, *, run: str = "R1") -> Load:
    return Load(
        id=PartId(f"L{number}"),
        on=OnRun(run=PartId(run), position_m=at_m),
        watts_w=watts_w,
    )


def breaker(number: int, *, trip_a: float = 3.0, feed: str = "PB1") -> Inline:
    return Inline(
        id=PartId(f"CB{number}"),
        device="breaker",
        x_mm=100.0,
        y_mm=-500.0,
        feed=ToPort(part=PartId(feed)),
        trip_a=trip_a,
        rated_a=trip_a,
    )


def oval(*more: Part, drops: tuple[float, ...] = (0.4, 1.6, 2.8, 4.0)) -> Layout:
    """Return a closed oval of two straights and two half circles with its wiring."""
    run = TrackRun(
        id=PartId("R1"),
        name="Oval",
        x_mm=0.0,
        y_mm=0.0,
        heading_deg=0.0,
        pieces=(
            Straight(length_mm=1000.0),
            Arc(radius_mm=400.0, sweep_deg=180.0),
            Straight(length_mm=1000.0),
            Arc(radius_mm=400.0, sweep_deg=180.0),
        ),
    )
    closing = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=PartId("R1"), end="end"),
        b=RunEnd(run=PartId("R1"), end="start"),
    )
    return layout_of(
        Settings(),
        run,
        closing,
        booster(),
        straight_bus(2.0),
        *(drop(i + 1, at, bus_m=min(at / 2, 2.0)) for i, at in enumerate(drops)),
        *more,
    )
