"""An engine shed drawn by hand: a pit, its bridge, and stalls round it at angles.

The pit has 300 mm across and its middle at 0, 0; the bridge R1 lies at 90°. Stall n
is R(n + 1), 600 mm long, its lead D(n + 1) straight to the booster, A on the rail
that is left as seen from the middle of the pit. The bridge's lead is D1, A left.
"""

from collections.abc import Sequence
from math import cos, degrees, radians, sin
from typing import Any

from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Drop,
    OnRun,
    Part,
    RunEnd,
    Side,
    Straight,
    TrackRun,
    Turntable,
)
from tests.core.checks.fed import booster, lead

ACROSS_MM = 300.0
STALL_MM = 600.0


def bridge(heading_deg: float = 90.0) -> TrackRun:
    """Return the bridge R1, its middle in the middle of the pit."""
    turn = radians(heading_deg)
    return TrackRun(
        id=PartId("R1"),
        name="Bridge",
        x_mm=-0.5 * ACROSS_MM * cos(turn),
        y_mm=-0.5 * ACROSS_MM * sin(turn),
        heading_deg=heading_deg,
        pieces=(Straight(length_mm=ACROSS_MM),),
    )


def stall(number: int, angle_deg: float, *, inwards: bool = False) -> TrackRun:
    """Return the run of a stall, drawn away from the pit or towards it."""
    turn = radians(angle_deg)
    start = 0.5 * ACROSS_MM + (STALL_MM if inwards else 0.0)
    return TrackRun(
        id=PartId(f"R{number + 1}"),
        name=f"Shed {number}",
        x_mm=start * cos(turn),
        y_mm=start * sin(turn),
        heading_deg=angle_deg + (180.0 if inwards else 0.0),
        pieces=(Straight(length_mm=STALL_MM),),
    )


def table(stalls: Sequence[RunEnd], **fields: Any) -> Turntable:
    """Return TT1 with these stalls, its ring cut at 90° and 270°."""
    usual = Turntable(
        id=PartId("TT1"),
        x_mm=0.0,
        y_mm=0.0,
        across_mm=ACROSS_MM,
        bridge=PartId("R1"),
        stalls=tuple(stalls),
        split_deg=90.0,
    )
    return replace(usual, **fields)


def on(run: int, position_m: float = 0.1) -> OnRun:
    """Return a place on a run."""
    return OnRun(run=PartId(f"R{run}"), position_m=position_m)


def feed(number: int, to: str = "PB1", a_rail: Side = "left", **fields: Any) -> Drop:
    """Return the lead of a run: Dn of Rn."""
    return lead(number, on(number), to, a_rail, **fields)


def shed(
    *angles_deg: float,
    more: Sequence[Part] = (),
    without: Sequence[str] = (),
    heading_deg: float = 90.0,
    **fields: Any,
) -> Layout:
    """Return the shed with stalls at these angles; parts in `more` come in place."""
    stalls = [stall(n, angle) for n, angle in enumerate(angles_deg, start=1)]
    ends = [RunEnd(run=run.id, end="start") for run in stalls]
    parts: list[Part] = [
        booster(),
        bridge(heading_deg),
        feed(1),
        *stalls,
        *(feed(n + 1) for n in range(1, len(stalls) + 1)),
        table(ends, **fields),
        *more,
    ]
    held = {part.id: part for part in parts if part.id not in without}
    return Layout(held)


def rotated(layout: Layout, by_deg: float) -> Layout:
    """Return the shed turned round the middle of its pit."""
    turn = radians(by_deg)
    parts: dict[PartId, Part] = {}
    for part in layout.parts.values():
        new: Part = part
        if isinstance(part, TrackRun):
            x, y = part.x_mm, part.y_mm
            new = replace(
                part,
                x_mm=x * cos(turn) - y * sin(turn),
                y_mm=x * sin(turn) + y * cos(turn),
                heading_deg=part.heading_deg + by_deg,
            )
        elif isinstance(part, Turntable):
            new = replace(part, split_deg=part.split_deg + by_deg)
        parts[part.id] = new
    return Layout(parts)


def mirrored(layout: Layout) -> Layout:
    """Return the shed as in a mirror that stands on the y axis: left is right."""
    other: dict[Side, Side] = {"left": "right", "right": "left"}
    parts: dict[PartId, Part] = {}
    for part in layout.parts.values():
        new: Part = part
        if isinstance(part, TrackRun):
            pieces = tuple(
                replace(p, sweep_deg=-p.sweep_deg) if isinstance(p, Arc) else p
                for p in part.pieces
            )
            new = replace(
                part,
                x_mm=-part.x_mm,
                heading_deg=180.0 - part.heading_deg,
                pieces=pieces,
            )
        elif isinstance(part, Drop):
            new = replace(part, a_rail=other[part.a_rail])
        elif isinstance(part, Turntable):
            new = replace(part, split_deg=180.0 - part.split_deg)
        parts[part.id] = new
    return Layout(parts)


def reversed_by_hand(layout: Layout) -> dict[int, bool]:
    """Return for each stall whether some way of standing there shorts, by geometry.

    A second method: the ring's halves carry two wires, the pick-ups of the bridge's
    left and right rail touch one each; rails that lie in line touch through wheels.
    """
    (pit,) = layout.of_kind(Turntable)
    run = layout.need(PartId("R1"), TrackRun)
    poles = {drop.on.run: drop.a_rail for drop in layout.of_kind(Drop)}
    lag = 90.0 if pit.pickups == "sides" else 0.0

    def wire(heading: float) -> bool:
        bearing = (heading + lag - pit.split_deg) % 360.0
        return bearing < 180.0

    now = run.heading_deg
    left_is_a_on = wire(now) == (poles[run.id] == "left")
    found: dict[int, bool] = {}
    for number, end in enumerate(pit.stalls, start=1):
        track = layout.need(end.run, TrackRun)
        outwards = end.end == "start"
        angle = track.heading_deg + (0.0 if outwards else 180.0)
        a_point = _rail_at_edge(angle, left=(poles[track.id] == "left") == outwards)
        shorts = False
        for heading in (angle, angle + 180.0):
            left_is_a = wire(heading) == left_is_a_on
            # The bridge's A rail at that edge of the pit: its left rail is seen as
            # left from the middle where its end is there.
            seen_left = left_is_a if heading == angle else not left_is_a
            bridge_a = _rail_at_edge(angle, left=seen_left)
            shorts |= (
                max(abs(p - q) for p, q in zip(a_point, bridge_a, strict=True)) > 1
            )
        found[number] = shorts
    return found


def _rail_at_edge(angle_deg: float, *, left: bool) -> tuple[float, float]:
    turn, aside = radians(angle_deg), 8.25 if left else -8.25
    return (
        0.5 * ACROSS_MM * cos(turn) - aside * sin(turn),
        0.5 * ACROSS_MM * sin(turn) + aside * cos(turn),
    )


def heading_of(layout: Layout) -> float:
    """Return how the bridge lies, 0 to 360. [°]"""
    heading = layout.need(PartId("R1"), TrackRun).heading_deg
    return degrees(radians(heading)) % 360.0
