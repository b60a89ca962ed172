"""A small board for the tests of the command line: one run, one booster, two drops."""

from pathlib import Path

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Drop,
    OnRun,
    Part,
    Settings,
    Straight,
    ToPort,
    TrackRun,
)
from core.layout.storage.write import write_layout

MAIN = PartId("R1")
SIDING = PartId("R2")
BOOSTER = PartId("PB1")


def board(**settings: object) -> Layout:
    """Return a sound board: 3 m of track, fed at 0.5 and 2.5 m."""
    drops = [
        Drop(
            id=PartId(f"D{i}"),
            on=OnRun(run=MAIN, position_m=position_m),
            to=ToPort(part=BOOSTER),
            lead_m=1.5,
        )
        for i, position_m in ((1, 0.5), (2, 2.5))
    ]
    parts: list[Part] = [
        Settings(**{"title": "Test board", **settings}),  # type: ignore[arg-type]
        TrackRun(
            id=MAIN,
            name="Main",
            x_mm=0,
            y_mm=0,
            heading_deg=0,
            pieces=(Straight(length_mm=3000.0),),
        ),
        Booster(id=BOOSTER, x_mm=1500, y_mm=-200, rated_a=3, trip_a=3),
        *drops,
    ]
    return Layout({part.id: part for part in parts})


def faulty_board() -> Layout:
    """Return the same with a siding that nothing feeds."""
    siding = TrackRun(
        id=SIDING,
        name="Siding",
        x_mm=0,
        y_mm=300,
        heading_deg=0,
        pieces=(Straight(length_mm=1000.0),),
    )
    return Layout({**board().parts, SIDING: siding})


def saved(layout: Layout, folder: Path, name: str = "board.fwl") -> Path:
    """Return the file of a layout."""
    path = folder / name
    write_layout(layout, path)
    return path
