"""A small yard for tests: a siding leaves a main line over a live crossing."""

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Gap,
    OnRun,
    Part,
    RunEnd,
    Straight,
    TrackRun,
    Turnout,
)
from tests.app.board import MAIN, SIDING, board

TURNOUT = PartId("T1")
GAP = PartId("G1")

TOE_M, RADIUS_MM = 1.0, 600.0
"""The blades are 1 m from the start of the main line; the siding's first arc."""


def yard(**turnout: object) -> Layout:
    """Return the test board with a siding to the left, its crossing switched."""
    more: list[Part] = [
        TrackRun(
            id=SIDING,
            name="Siding",
            x_mm=1000.0 * TOE_M,
            y_mm=0,
            heading_deg=0,
            pieces=(
                Arc(radius_mm=RADIUS_MM, sweep_deg=20.0),
                Straight(length_mm=800.0),
            ),
        ),
        Turnout(
            **{  # type: ignore[arg-type]
                "id": TURNOUT,
                "name": "Yard",
                "on": OnRun(run=MAIN, position_m=TOE_M),
                "leg": RunEnd(run=SIDING, end="start"),
                "frog": "switched",
                **turnout,
            }
        ),
        Gap(id=GAP, on=OnRun(run=MAIN, position_m=2.0), rails="left", filled=True),
    ]
    return Layout({**board().parts, **{part.id: part for part in more}})
