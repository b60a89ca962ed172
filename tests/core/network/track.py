"""Track drawn only by how it hangs together: lengths and links, no plan."""

from typing import Literal

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Gap,
    OnRun,
    Part,
    RunEnd,
    Side,
    Sides,
    Straight,
    TrackJoint,
    TrackRun,
    Turnout,
)

FrogKind = Literal["insulated", "switched", "self-powered"]


def run(number: int, length_m: float) -> TrackRun:
    return TrackRun(
        id=PartId(f"R{number}"),
        x_mm=0.0,
        y_mm=100.0 * number,
        heading_deg=0.0,
        pieces=(Straight(length_mm=length_m * 1000.0),),
        piece_length_m=50.0,
    )


def end(number: int, which: str) -> RunEnd:
    return RunEnd(run=PartId(f"R{number}"), end="end" if which == "end" else "start")


def on(number: int, position_m: float) -> OnRun:
    return OnRun(run=PartId(f"R{number}"), position_m=position_m)


def joint(number: int, a: RunEnd, b: RunEnd, insulated: Sides = "none") -> TrackJoint:
    return TrackJoint(id=PartId(f"J{number}"), a=a, b=b, insulated=insulated)


def turnout(
    number: int,
    at: OnRun,
    leg: RunEnd,
    *,
    backward: bool = False,
    hand: Side = "left",
    frog: FrogKind = "insulated",
    heel_gaps: bool = True,
) -> Turnout:
    return Turnout(
        id=PartId(f"T{number}"),
        on=at,
        leg=leg,
        opens="backward" if backward else "forward",
        hand=hand,
        frog=frog,
        heel_gaps=heel_gaps,
    )


def gap(
    number: int, at: OnRun, rails: Literal["left", "right", "both"] = "both"
) -> Gap:
    return Gap(id=PartId(f"G{number}"), on=at, rails=rails)


def layout_of(*parts: Part) -> Layout:
    return Layout({part.id: part for part in parts})


def balloon(*more: Part) -> Layout:
    """A stem of 2 m and a loop of 3 m that comes back to its own turnout."""
    return layout_of(run(1, 5.0), turnout(1, on(1, 2.0), end(1, "end")), *more)


def wye(*more: Part) -> Layout:
    """Three turnouts, toes outward, joined leg to through run all round.

    T1 and T2 face each other on R1; R2 leaves T1 for the tail, R3 leaves T2 and
    joins R2 at T3, whose toe looks down the tail.
    """
    return layout_of(
        run(1, 4.0),
        run(2, 3.0),
        run(3, 1.5),
        turnout(1, on(1, 1.0), end(2, "start")),
        turnout(2, on(1, 3.0), end(3, "start"), backward=True),
        turnout(3, on(2, 2.0), end(3, "end"), backward=True),
        *more,
    )


def dog_bone(*more: Part) -> Layout:
    """A squeezed oval of 10 m with one crossover between its two sides."""
    return layout_of(
        run(1, 10.0),
        run(2, 0.5),
        joint(1, end(1, "end"), end(1, "start")),
        turnout(1, on(1, 2.0), end(2, "start")),
        turnout(2, on(1, 7.0), end(2, "end")),
        *more,
    )


def oval(*more: Part) -> Layout:
    """A plain closed oval with a passing loop: nothing reverses."""
    return layout_of(
        run(1, 10.0),
        run(2, 2.0),
        joint(1, end(1, "end"), end(1, "start")),
        turnout(1, on(1, 2.0), end(2, "start")),
        turnout(2, on(1, 4.5), end(2, "end"), backward=True),
        *more,
    )
