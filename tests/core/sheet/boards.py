"""Invented layouts for the tests of the sheet."""

from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Attachment,
    Board,
    Booster,
    Bus,
    Drop,
    Inline,
    Joist,
    OnRun,
    Part,
    Point,
    RunEnd,
    Settings,
    Straight,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
)
from core.sheet.brief import Brief, Options
from core.sheet.marks import Mark, Page, Text
from core.sheet.typeface import Typeface


def layout_of(*parts: Part, **settings: object) -> Layout:
    """Return a layout of parts, with some settings."""
    found: dict[PartId, Part] = {p.id: p for p in parts}
    chosen = replace(Settings(title="Mossgill Sidings", revision="C"), **settings)
    return Layout({**found, chosen.id: chosen})


def brief_of(layout: Layout, **options: object) -> Brief:
    """Return what pages are made from, without findings."""
    chosen = Options(**options)  # type: ignore[arg-type]
    return Brief(study_layout(layout), (), chosen, Typeface())


def board(**fields: object) -> Board:
    """Return a board of 2.40 m by 1.20 m with its left front corner at zero."""
    plain = Board(id=PartId("BD1"), x_mm=0, y_mm=0, width_mm=2400, depth_mm=1200)
    return replace(plain, **fields)


def shelf_run(**fields: object) -> TrackRun:
    """Return a straight run of 2.40 m along the front, 0.10 m from the edge."""
    plain = TrackRun(
        id=PartId("R1"),
        name="Main",
        x_mm=0,
        y_mm=100,
        heading_deg=0,
        pieces=(Straight(length_mm=2400),),
    )
    return replace(plain, **fields)


def drop(number: int, position_m: float, **fields: object) -> Drop:
    """Return a drop on R1."""
    place = OnRun(run=PartId("R1"), position_m=position_m)
    return replace(Drop(id=PartId(f"D{number}"), on=place), **fields)


def to_strip(way: int, strip: str = "TS1") -> ToStrip:
    return ToStrip(part=PartId(strip), way=way)


def to_bus(position_m: float, bus: str = "B1") -> ToBus:
    return ToBus(part=PartId(bus), position_m=position_m)


def bus(
    *points: tuple[float, float],
    name: str = "B1",
    start: Attachment | None = None,
    **fields: object,
) -> Bus:
    plain = Bus(
        id=PartId(name),
        points=tuple(Point(x_mm=x, y_mm=y) for x, y in points),
        start=start,
    )
    return replace(plain, **fields)


def oval(**settings: object) -> Layout:
    """Return an oval of 5.66 m on one board, fed by ten drops of two buses."""
    run = TrackRun(
        id=PartId("R1"),
        name="Oval",
        x_mm=570,
        y_mm=100,
        heading_deg=0,
        pieces=(
            Straight(length_mm=1260),
            Arc(radius_mm=500, sweep_deg=180),
            Straight(length_mm=1260),
            Arc(radius_mm=500, sweep_deg=180),
        ),
    )
    end = RunEnd(run=run.id, end="end")
    start = RunEnd(run=run.id, end="start")
    ends: tuple[Attachment, ...] = (
        *(to_strip(way) for way in (3, 4, 5, 6)),
        *(to_bus(at, "B1") for at in (0.5, 0.9)),
        *(to_bus(at, "B2") for at in (0.2, 0.4, 0.6, 0.8)),
    )
    return layout_of(
        run,
        TrackJoint(id=PartId("J1"), a=end, b=start),
        board(name="Middle board"),
        Joist(id=PartId("JS1"), x1_mm=1200, y1_mm=0, x2_mm=1200, y2_mm=1200),
        Booster(
            id=PartId("PB1"), name="Shelf", x_mm=1300, y_mm=50, rated_a=3.0, trip_a=3.0
        ),
        Inline(
            id=PartId("CB1"),
            device="breaker",
            name="Middle",
            x_mm=1300,
            y_mm=300,
            trip_a=2.5,
            feed=ToPort(part=PartId("PB1")),
        ),
        Strip(id=PartId("TS1"), name="Middle strip", x_mm=700, y_mm=600),
        bus(
            (1300, 300),
            (1300, 600),
            (700, 600),
            start=ToPort(part=PartId("CB1")),
            end=to_strip(1),
        ),
        bus((1300, 600), (2200, 600), name="B2", start=to_bus(0.3)),
        *(
            drop(i + 1, 0.2 + 0.56 * i, to=to, a_rail="right")
            for i, to in enumerate(ends)
        ),
        **settings,
    )


def texts(marks: tuple[Mark, ...] | Page) -> list[str]:
    """Return what a page says, line by line, in drawing order."""
    listed = marks.marks if isinstance(marks, Page) else marks
    return [mark.text for mark in listed if isinstance(mark, Text)]
