"""A plank with two pieces of track, two drops, a bus and a booster, to spoil at will.

R1  0 ------- 0.914 | ------- 1.8 m     code 100, one joint
        D1 0.4          D2 1.4          0.5 mm², straight down to the bus
B1  ============================        1.5 mm², 100 mm in front
PB1 at its left end: 15 V, 3 A
"""

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from core.analysis.examine import study_layout
from core.analysis.study import Study
from core.checks.finding import Finding
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    OnRun,
    Part,
    Point,
    Settings,
    Straight,
    ToBus,
    ToPort,
    TrackRun,
)

Changes = Mapping[str, Any]
"""Fields to replace, by id of the part."""


def on(position_m: float, run: str = "R1") -> OnRun:
    """Return a place on a run."""
    return OnRun(run=PartId(run), position_m=position_m)


def to_bus(position_m: float, bus: str = "B1") -> ToBus:
    """Return a connection to a bus."""
    return ToBus(part=PartId(bus), position_m=position_m)


def straight(
    run: str, length_m: float, x_mm: float = 0.0, y_mm: float = 0.0
) -> TrackRun:
    """Return a straight run that begins at a point and goes to the right."""
    pieces = (Straight(length_mm=length_m * 1000.0),)
    return TrackRun(
        id=PartId(run), x_mm=x_mm, y_mm=y_mm, heading_deg=0.0, pieces=pieces
    )


def drop(drop_id: str, position_m: float, tap_m: float, **fields: Any) -> Drop:
    """Return a drop from R1 to B1; fields replace what is usual."""
    usual = Drop(id=PartId(drop_id), on=on(position_m), to=to_bus(tap_m))
    return msgspec.structs.replace(usual, **fields)


def plank(
    *more: Part, without: Iterable[str] = (), changes: Changes | None = None
) -> Layout:
    """Return the plank with parts added, taken away and changed."""
    bus_points = (Point(x_mm=0.0, y_mm=-100.0), Point(x_mm=1800.0, y_mm=-100.0))
    parts: list[Part] = [
        Settings(scale="HO", test_train_a=1.0),
        msgspec.structs.replace(straight("R1", 1.8), name="Main"),
        Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-100.0, rated_a=3.0, trip_a=3.0),
        Bus(
            id=PartId("B1"),
            points=bus_points,
            wire="1.5mm2-c5",
            start=ToPort(part=PartId("PB1")),
        ),
        drop("D1", 0.4, 0.4),
        drop("D2", 1.4, 1.4),
        *more,
    ]
    changes = changes or {}
    left_out = set(without)
    kept = [p for p in parts if p.id not in left_out]
    new = [msgspec.structs.replace(p, **changes.get(p.id, {})) for p in kept]
    return Layout({p.id: p for p in new})


def study_of(layout: Layout) -> Study:
    """Return the study of a layout."""
    return study_layout(layout)


def find(rule: Rule, layout: Layout) -> list[Finding]:
    """Return what one rule finds in a layout."""
    return list(rule.check(study_of(layout)))


def find_one(rule: Rule, layout: Layout) -> Finding:
    """Return the only finding of a rule; every one says what, why and what to do."""
    (found,) = find(rule, layout)
    assert found.code == rule.code
    assert found.sentence.endswith(".")
    assert found.remedy.endswith(".")
    assert found.figures
    assert found.source
    return found


def mended(layout: Layout, found: Finding) -> Layout:
    """Return a copy of the layout with the finding's own remedy applied."""
    assert found.fix is not None
    better = layout.copy()
    better.apply(found.fix)
    return better
