"""Layouts put together by hand for tests of single edits."""

from typing import Any, TypeVar

import pytest

from core.layout.change import Change
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Booster,
    Bus,
    Drop,
    OnRun,
    Part,
    Piece,
    Point,
    RunEnd,
    Side,
    Straight,
    ToBus,
    ToPort,
    TrackRun,
)

P = TypeVar("P", bound=Part)


def near(value: float, *, rel: float | None = None, abs: float | None = None) -> Any:  # noqa: A002
    """Return a figure that equals what is close to it, wherever a figure goes."""
    return pytest.approx(value, rel=rel, abs=abs)


def i(text: str) -> PartId:
    return PartId(text)


def layout_of(*parts: Part) -> Layout:
    """Return a layout that holds these parts."""
    return Layout({part.id: part for part in parts})


def after(layout: Layout, change: Change) -> Layout:
    """Return the layout as it is after a change; the given one stays."""
    copy = layout.copy()
    copy.apply(change)
    return copy


def the(layout: Layout, kind: type[P], part_id: str) -> P:
    return layout.need(PartId(part_id), kind)


def only(layout: Layout, kind: type[P]) -> P:
    """Return the one part of its kind."""
    (part,) = layout.of_kind(kind)
    return part


def straight(length_mm: float) -> Straight:
    return Straight(length_mm=length_mm)


def arc(radius_mm: float, sweep_deg: float) -> Arc:
    return Arc(radius_mm=radius_mm, sweep_deg=sweep_deg)


def run(
    name: str, *pieces: Piece, x: float = 0.0, y: float = 0.0, heading: float = 0.0
) -> TrackRun:
    """Return a run; without pieces a straight of one metre."""
    return TrackRun(
        id=i(name),
        x_mm=x,
        y_mm=y,
        heading_deg=heading,
        pieces=pieces or (straight(1000),),
    )


def on(name: str, position_m: float) -> OnRun:
    return OnRun(run=i(name), position_m=position_m)


def start(name: str) -> RunEnd:
    return RunEnd(run=i(name), end="start")


def end(name: str) -> RunEnd:
    return RunEnd(run=i(name), end="end")


def drop(name: str, place: OnRun, a_rail: Side = "left") -> Drop:
    return Drop(id=i(name), on=place, a_rail=a_rail)


def booster(name: str = "PB1", x: float = 0.0, y: float = 0.0) -> Booster:
    return Booster(id=i(name), x_mm=x, y_mm=y)


def bus(name: str, *corners: tuple[float, float]) -> Bus:
    points = tuple(Point(x_mm=x, y_mm=y) for x, y in corners)
    return Bus(id=i(name), points=points)


def port(name: str) -> ToPort:
    return ToPort(part=i(name))


def tap(name: str, position_m: float) -> ToBus:
    return ToBus(part=i(name), position_m=position_m)


def corners(part: Bus) -> list[tuple[float, float]]:
    return [(p.x_mm, p.y_mm) for p in part.points]


def rail_at(layout: Layout, place: OnRun, side: Side) -> tuple[float, float]:
    """Return where in plan one rail of a run lies, 10 mm beside its centre line."""
    pose = run_path(layout.need(place.run, TrackRun)).at(place.position_m)
    return pose.left(10.0 if side == "left" else -10.0)
