"""Track by how it hangs together, with boosters and leads to feed it.

Tracks come from `tests.core.network.track`: run n is Rn, drawn by its length alone.
Leads are 0.3 m of 0.5 mm² straight from a booster or device to the rails.
"""

from typing import Any

from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Drop,
    Inline,
    Load,
    OnRun,
    Part,
    Settings,
    Side,
    ToPort,
)


def layout_with(layout: Layout, *more: Part, **settings: Any) -> Layout:
    """Return a layout with parts added, and settings changed."""
    parts = [*layout.parts.values(), *more]
    chosen = replace(Settings(), **settings)
    return Layout({part.id: part for part in (*parts, chosen)})


def booster(number: int = 1, **fields: Any) -> Booster:
    """Return a booster of 15 V and 3 A; fields replace what is usual."""
    usual = Booster(
        id=PartId(f"PB{number}"), x_mm=0.0, y_mm=-500.0, rated_a=3.0, trip_a=3.0
    )
    return replace(usual, **fields)


def device(part_id: str, feed: str = "PB1", **fields: Any) -> Inline:
    """Return an in-line device by its id: AR, CB, OD, F or SW and a number."""
    kinds = {"AR": "reverser", "CB": "breaker", "OD": "detector", "SW": "switch"}
    usual = Inline(
        id=PartId(part_id),
        device="fuse",
        x_mm=0.0,
        y_mm=-400.0,
        feed=ToPort(part=PartId(feed)),
        trip_a=None if part_id[:2] in ("OD", "SW") else 2.0,
    )
    return replace(usual, device=kinds.get(part_id[:2], "fuse"), **fields)


def lead(
    number: int, on: OnRun, to: str = "PB1", a_rail: Side = "left", **fields: Any
) -> Drop:
    """Return a drop from a place straight to a booster or device."""
    usual = Drop(
        id=PartId(f"D{number}"),
        on=on,
        to=ToPort(part=PartId(to)),
        a_rail=a_rail,
        lead_m=0.3,
    )
    return replace(usual, **fields)


def train(number: int, on: OnRun, length_m: float, **fields: Any) -> Load:
    """Return a train that only stands there, unless fields say otherwise."""
    usual = Load(id=PartId(f"L{number}"), on=on, length_m=length_m, active=False)
    return replace(usual, **fields)
