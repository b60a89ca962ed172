"""Which rail conductor A belongs on: left goes on as left, or as right.

Hand-worked: a run drawn from (0, 0) along +x has its left rail on the far side
(+y). A run drawn from (2000, 0) along −x has its left rail on the near side. The
two meet at (1000, 0) end to end, so there left goes on as right.
"""

import pytest

from core.layout.edits.sides import is_swapped, other_side, suggest_a_rail
from core.layout.parts import Part, RunEnd, Side, TrackJoint, Turnout
from tests.core.layout.edits.hand import drop, end, i, layout_of, on, run, start


def joint(name: str, a: RunEnd, b: RunEnd) -> TrackJoint:
    return TrackJoint(id=i(name), a=a, b=b)


def turnout(opens: str, leg: RunEnd) -> Turnout:
    return Turnout(id=i("T1"), on=on("R1", 0.5), opens=opens, leg=leg)  # type: ignore[arg-type]


def test_other_sides() -> None:
    assert other_side("left") == "right"
    assert other_side("right") == "left"


@pytest.mark.parametrize(
    ("link", "swapped"),
    [
        (joint("J1", end("R1"), start("R2")), False),
        (joint("J1", start("R1"), end("R2")), False),
        (joint("J1", end("R1"), end("R2")), True),
        (joint("J1", start("R1"), start("R2")), True),
        (joint("J1", end("R1"), start("R1")), False),
        # A leg that begins at the toe and runs the same way keeps its sides.
        (turnout("forward", start("R2")), False),
        (turnout("forward", end("R2")), True),
        (turnout("backward", start("R2")), True),
        (turnout("backward", end("R2")), False),
    ],
)
def test_runs_drawn_against_each_other_swap_sides(
    link: TrackJoint | Turnout, *, swapped: bool
) -> None:
    assert is_swapped(link) is swapped
    layout = layout_of(run("R1"), run("R2"), link, drop("D1", on("R1", 0.2), "right"))
    other = "R1" if isinstance(link, TrackJoint) and link.b.run == "R1" else "R2"
    expected = "left" if swapped else "right"
    assert suggest_a_rail(layout, on(other, 0.7)) == expected


def test_without_any_drop_it_is_the_left_rail() -> None:
    assert suggest_a_rail(layout_of(run("R1")), on("R1", 0.5)) == "left"


def test_a_drop_on_other_track_that_is_not_joined_says_nothing() -> None:
    layout = layout_of(run("R1"), run("R2"), drop("D1", on("R2", 0.5), "right"))
    assert suggest_a_rail(layout, on("R1", 0.5)) == "left"


@pytest.mark.parametrize(("position", "side"), [(0.2, "right"), (0.8, "left")])
def test_on_the_same_run_the_nearest_drop_decides(position: float, side: Side) -> None:
    layout = layout_of(
        run("R1"), drop("D1", on("R1", 0.1), "right"), drop("D2", on("R1", 0.9), "left")
    )
    assert suggest_a_rail(layout, on("R1", position)) == side


def test_two_swaps_are_none() -> None:
    parts: list[Part] = [run("R1"), run("R2"), run("R3")]
    parts.append(joint("J1", end("R1"), end("R2")))
    parts.append(joint("J2", start("R2"), start("R3")))
    layout = layout_of(*parts, drop("D1", on("R1", 0.5), "right"))
    assert suggest_a_rail(layout, on("R3", 0.5)) == "right"


def test_the_nearer_run_decides_even_where_one_farther_off_differs() -> None:
    parts: list[Part] = [run("R1"), run("R2"), run("R3")]
    parts.append(joint("J1", end("R1"), start("R2")))
    parts.append(joint("J2", end("R2"), start("R3")))
    layout = layout_of(
        *parts, drop("D1", on("R3", 0.5), "left"), drop("D2", on("R2", 0.5), "right")
    )
    assert suggest_a_rail(layout, on("R1", 0.5)) == "right"
