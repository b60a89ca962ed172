"""A track of 4 m with a gate in it, to spoil at will.

R1  0 ----G1---- 1.6 ====LO1==== 2.4 ----G2---- 4 m
      D1 0.3  D3 1.1        D2 2.0        D4 2.8  D5 3.7

The section of 0.8 m is fed by D2, over the hinge on the left. G1 at 0.7 m and G2 at
3.3 m cut both rails 0.9 m before its edges; D3 and D4 feed what lies between through
SW1, which opens with the gate. Everything hangs on PB1, 15 V.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Carried,
    Drop,
    Gap,
    Inline,
    OnRun,
    Opening,
    Part,
    Settings,
    ToPort,
)
from tests.core.network.track import run

FROM_M, TO_M = 1.6, 2.4


def carried(number: int, from_m: float, to_m: float) -> Carried:
    return Carried(run=PartId(f"R{number}"), from_m=from_m, to_m=to_m)


def opening(*carries: Carried, **fields: Any) -> Opening:
    usual = Opening(id=PartId("LO1"), use="gate", carries=carries, hinge="left")
    return msgspec.structs.replace(usual, **fields)


def switch(part_id: str = "SW1", **fields: Any) -> Inline:
    usual = Inline(
        id=PartId(part_id),
        device="switch",
        x_mm=1500.0,
        y_mm=-300.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
    )
    return msgspec.structs.replace(usual, **fields)


def lead(number: int, position_m: float, to: str = "PB1", run: int = 1) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(f"R{run}"), position_m=position_m),
        to=ToPort(part=PartId(to)),
        lead_m=0.3,
    )


def cut(number: int, position_m: float, run: int = 1) -> Gap:
    place = OnRun(run=PartId(f"R{run}"), position_m=position_m)
    return Gap(id=PartId(f"G{number}"), on=place, filled=True)


def gate(
    *more: Part,
    without: Iterable[str] = (),
    changes: Mapping[str, Mapping[str, Any]] | None = None,
) -> Layout:
    """Return the track with its gate, with parts added, taken away and changed."""
    parts: list[Part] = [
        Settings(scale="HO"),
        msgspec.structs.replace(run(1, 4.0), name="Main"),
        Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-300.0),
        switch(),
        opening(carried(1, FROM_M, TO_M), contact=PartId("SW1")),
        cut(1, FROM_M - 0.9),
        cut(2, TO_M + 0.9),
        lead(1, 0.3),
        lead(2, 2.0),
        lead(3, 1.1, "SW1"),
        lead(4, 2.8, "SW1"),
        lead(5, 3.7),
        *more,
    ]
    changes = changes or {}
    left_out = set(without)
    kept = [p for p in parts if p.id not in left_out]
    new = [msgspec.structs.replace(p, **changes.get(p.id, {})) for p in kept]
    return Layout({p.id: p for p in new})
